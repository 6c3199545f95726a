"""Knowngood from a terminal. Exit codes: 0 done, 1 problems found, 2 wrong use."""

import argparse
import io
import json
import os
import re
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, NoReturn

from knowngood import __version__

DONE, PROBLEMS, WRONG_USE = 0, 1, 2
# The argument parser's wording, and ours.
PLAIN_WORDS = (
    (r"argument COMMAND: invalid choice: ('.*?') \(choose from (.*)\)", r"\1 is no command; there are \2"),
    (r"argument (--\w+): invalid int value: ('.*')", r"\1 is \2; a whole number belongs there"),
    (r"the following arguments are required: (.*)", r"\1 is missing"),
)


class _Parser(argparse.ArgumentParser):
    """Wrong use in one sentence, with where to look; more help is made only when it is asked for."""

    further_help: Callable[[], str] | None = None

    def format_help(self) -> str:
        return super().format_help() + (self.further_help() if self.further_help else "")

    def error(self, message: str) -> NoReturn:
        for found, instead in PLAIN_WORDS:
            message = re.sub(found, instead, message)
        self.exit(WRONG_USE, f"{self.prog}: {message}. See {self.prog} --help.\n")


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; return its exit code."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")  # a console that lacks a sign still shows the rest
    arguments = _parser().parse_args(argv)
    command: Callable[[argparse.Namespace], int] = arguments.command
    from knowngood.refusal import Refused
    from knowngood.store.errors import StoreError

    try:
        code = command(arguments)
        sys.stdout.flush()
        return code
    except Refused as refused:
        print(" ".join(refused.problems.values()), file=sys.stderr)
        return WRONG_USE
    except StoreError as trouble:
        print(trouble, file=sys.stderr)
        return PROBLEMS
    except BrokenPipeError:
        # Whoever read the answer has read enough; what Python still wants to flush goes nowhere.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return DONE


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(prog="knowngood", description="Knowngood, for the home vehicle mechanic.")
    parser.add_argument("--version", action="version", version=__version__)
    commands = parser.add_subparsers(required=True, metavar="COMMAND", parser_class=_Parser)
    _judge_options(commands.add_parser("judge", help="is a reading within limits?"))
    check = _command(commands, "check", _check, "find every problem in a job sheet")
    check.add_argument("sheet", type=Path, metavar="SHEET")
    check.add_argument("--garage", type=Path, help="check against this garage's toolbox too")
    check.add_argument("--json", action="store_true")
    _command(commands, "schema", _schema, "print the JSON Schema of job sheets")
    for name, what in (("card", "the paper run sheet"), ("book", "the book of what was found and left")):
        pdf = _command(commands, name, _pdf, f"write {what} of a job as PDF")
        pdf.set_defaults(document=name)
        pdf.add_argument(
            "job", metavar="JOB", nargs="?", help="the job's id; left out when the garage has one job only"
        )
        pdf.add_argument("--garage", type=Path, help="the garage's folder")
        pdf.add_argument("--out", type=Path, help="where to write the PDF")
        pdf.add_argument("--json", action="store_true", help="print what the PDF would say instead")
    for name, run, what in (("serve", _serve, "serve your garage"), ("demo", _demo, "serve a demo garage")):
        server = _command(commands, name, run, f"{what} on this machine, or to phones on its network")
        server.add_argument("--port", type=int, default=8321, help="0 takes any free one")
        server.add_argument("--no-browser", action="store_true", help="print the address only")
        server.add_argument(
            "--lan",
            nargs="?",
            const="",
            metavar="ADDRESS",
            help="let paired phones in; the address is found if left out",
        )
        if name == "serve":
            server.add_argument("--garage", type=Path, help="the garage's folder")
    return parser


def _command(commands: Any, name: str, run: Callable[[argparse.Namespace], int], what: str) -> argparse.ArgumentParser:
    parser: argparse.ArgumentParser = commands.add_parser(name, help=what, description=what)
    parser.set_defaults(command=run)
    return parser


def _quantities_help() -> str:
    """Each quantity with an example that works as it stands, behind the options of judge."""
    from knowngood.quantities.known import QUANTITIES

    rows = [f"  {one.name}: {one.title}\n    judge {one.example}\n" for one in QUANTITIES.values()]
    return "\n".join(["", "Quantities, each with an example:", *rows])


def _judge_options(parser: _Parser) -> None:
    parser.set_defaults(command=_judge)
    parser.further_help = _quantities_help
    parser.add_argument("--quantity", default="", metavar="NAME", help="what was measured; the list below has all")
    parser.add_argument("--limits", required=True, help='"80..95 ohm", "max 13.3 ohm", "8 N·m ± 1"')
    parser.add_argument("--read", required=True, help='one or more readings: "100.9 101.2 ohm"')
    parser.add_argument("--at", default="", help='temperature the limits are stated for: "20 °C"')
    parser.add_argument("--zero", default="", help='reading with the probes touching: "0.4 ohm"')
    parser.add_argument("--part", default="", help='temperature of the part: "48 ± 4 °C"')
    parser.add_argument("--conductor", default="", help="copper, aluminium or alloy")
    parser.add_argument(
        "--set", action="append", default=[], metavar="NAME=VALUE", help="what a quantity asks beside these"
    )
    parser.add_argument("--meter", default="", help='data sheet line: "0.8 %% + 3 digits, 0.1 ohm"')
    parser.add_argument("--ambient", default="", help='temperature where the meter lies: "5 °C"')
    parser.add_argument(
        "--rule", default="", help='"usual", "safety", or two costs "30 100": wrongly good, wrongly out'
    )
    parser.add_argument("--json", action="store_true")


def _judge(arguments: argparse.Namespace) -> int:
    from knowngood.acts import judging
    from knowngood.refusal import Refused

    try:
        judged = judging.judge_typed(_typed(arguments), reading_id="typed")
    except Refused as refused:
        for name, sentence in refused.problems.items():
            print(f"--{name}: {sentence}", file=sys.stderr)
        return WRONG_USE
    if arguments.json:
        print(json.dumps(judging.as_json(judged), ensure_ascii=False, indent=1))
    else:
        from knowngood.report import terminal

        print(terminal.verdict(judged))
    return DONE


def _typed(arguments: argparse.Namespace) -> dict[str, str]:
    """All words by field; those after --set by the name before the =.

    Raises:
        Refused: No =, or a name that the quantity does not ask.
    """
    from knowngood.acts.judging import COMMON
    from knowngood.quantities.known import asked_by, asks_words
    from knowngood.refusal import Refused

    usual = (*COMMON, "zero", "part", "at", "conductor")
    typed: dict[str, str] = {key: getattr(arguments, key) for key in usual}
    for words in arguments.set:
        name, equals, value = words.partition("=")
        if not equals or name not in asked_by(arguments.quantity):
            raise Refused({"set": f'"{words}" is nothing to set here. {asks_words(arguments.quantity)}'})
        typed[name] = value
    return typed


def _check(arguments: argparse.Namespace) -> int:
    from knowngood.acts import planning
    from knowngood.acts.garage import open_garage

    garage = open_garage(arguments.garage) if arguments.garage else None
    problems = planning.check_file(arguments.sheet, garage=garage)
    if arguments.json:
        rows = [planning.problem_json(problem) for problem in problems]
        print(json.dumps(rows, ensure_ascii=False, indent=1))
    else:
        for problem in problems:
            print(f"{problem.severity}: {problem.message}")
        print(f"{len(problems)} problem{'' if len(problems) == 1 else 's'} found." if problems else "Nothing to mend.")
    return PROBLEMS if problems else DONE


def _schema(_: argparse.Namespace) -> int:
    from knowngood.sheet.schema import schema

    print(json.dumps(schema(), ensure_ascii=False, indent=1))
    return DONE


def _pdf(arguments: argparse.Namespace) -> int:
    """Write the card or the book; the job may be left out when there is one only."""
    from knowngood.acts.book import sections
    from knowngood.acts.garage import default_folder, open_garage
    from knowngood.report.fill import PDFS

    garage = open_garage(arguments.garage or default_folder())
    job = garage.job(arguments.job or garage.only_job())
    if arguments.json:
        print(json.dumps(dict(sections(job)), ensure_ascii=False, indent=1))
        return DONE
    out = arguments.out or Path(f"{arguments.document}-{job.id}.pdf")
    content = PDFS[arguments.document](garage, job)
    try:
        out.write_bytes(content)
    except OSError as trouble:
        print(
            f"{out}: {(trouble.strerror or 'it cannot be written').lower()}. Give another place with --out.",
            file=sys.stderr,
        )
        return PROBLEMS
    print(out)
    return DONE


def _serve(arguments: argparse.Namespace) -> int:
    from knowngood.acts.garage import default_folder, open_garage
    from knowngood.web.serve import serve

    garage = open_garage(arguments.garage or default_folder())
    served = serve(garage, port=arguments.port, browser=not arguments.no_browser, lan=arguments.lan)
    return DONE if served else PROBLEMS


def _demo(arguments: argparse.Namespace) -> int:
    """A garage in a scratch folder, gone when the demo ends."""
    import tempfile

    from knowngood.acts import demo
    from knowngood.acts.garage import open_garage
    from knowngood.web.serve import serve

    with tempfile.TemporaryDirectory(prefix="knowngood-demo-") as folder:
        garage = open_garage(Path(folder))
        demo.fill(garage)
        served = serve(garage, port=arguments.port, browser=not arguments.no_browser, lan=arguments.lan)
    return DONE if served else PROBLEMS
