"""Knowngood from a terminal. Exit codes: 0 done, 1 problems found, 2 wrong use."""

import argparse
import codecs
import io
import json
import os
import sys
from collections.abc import Callable, Sequence
from contextlib import nullcontext
from pathlib import Path

from knowngood import __version__
from knowngood.cli import decide, fluids, judge, readings, stands, suspects, window
from knowngood.cli.base import DONE, PROBLEMS, WRONG_USE, Parser, command

NEAREST = "knowngood.nearest"


def _nearest(error: UnicodeError) -> tuple[str, int]:
    """A hyphen for a minus, so that no number loses its sign; "?" for what else a console lacks."""
    if not isinstance(error, UnicodeEncodeError):
        raise error
    lacks = error.object[error.start : error.end]
    return "".join("-" if one in "−–" else "?" for one in lacks), error.end


codecs.register_error(NEAREST, _nearest)


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; return its exit code."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors=NEAREST)  # a console that lacks a sign still shows the rest
    arguments = _parser().parse_args(argv)
    run: Callable[[argparse.Namespace], int] = arguments.command
    from knowngood.refusal import Refused
    from knowngood.store.errors import StoreError

    try:
        code = run(arguments)
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
    parser = Parser(prog="knowngood", description="Knowngood, for the home vehicle mechanic.")
    parser.add_argument("--version", action="version", version=__version__)
    commands = parser.add_subparsers(required=True, metavar="COMMAND", parser_class=Parser)
    judge.options(commands.add_parser("judge", help="is a reading within limits?"))
    window.options(commands.add_parser("window", help="when does a fluid enter and leave its window?"))
    fluids.options(commands.add_parser("fluids", help="what a job moved, what is owed, what to have at hand"))
    stands.options(commands.add_parser("stands", help="what stands open on each vehicle, by which job"))
    readings.options(commands.add_parser("readings", help="what was read in a job, and to judge it again"))
    decide.options(commands.add_parser("decide", help="renew a doubtful part now, or close and watch?"))
    suspects.options(commands.add_parser("suspects", help="what could be wrong, and what to do next?"))
    check = command(commands, "check", _check, "find every problem in a job sheet")
    check.add_argument("sheet", type=Path, metavar="SHEET")
    check.add_argument("--garage", type=Path, help="check against this garage's toolbox too")
    check.add_argument("--json", action="store_true")
    command(commands, "schema", _schema, "print the JSON Schema of job sheets")
    papers = {
        "card": "the paper run sheet",
        "book": "the book of what was found and left",
        "handover": "one page for a mechanic",
    }
    for name, what in papers.items():
        pdf = command(commands, name, _pdf, f"write {what} of a job as PDF")
        pdf.set_defaults(document=name)
        pdf.add_argument(
            "job", metavar="JOB", nargs="?", help="the job's id; left out when the garage has one job only"
        )
        pdf.add_argument("--garage", type=Path, help="the garage's folder")
        pdf.add_argument("--out", type=Path, help="where to write the PDF")
        pdf.add_argument("--json", action="store_true", help="print what the PDF would say instead")
    verify = command(commands, "verify", _verify, "look whether every entry and photo is as it was kept")
    verify.add_argument("--garage", type=Path, help="the garage's folder")
    verify.add_argument("--json", action="store_true")
    for name, run, what in (("serve", _serve, "serve your garage"), ("demo", _demo, "serve a demo garage")):
        server = command(commands, name, run, f"{what} on this machine, or to phones on its network")
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


def _check(arguments: argparse.Namespace) -> int:
    from knowngood.acts.job.garage import existing_garage
    from knowngood.acts.job.problems import check_file, problem_json

    with existing_garage(arguments.garage) if arguments.garage else nullcontext() as garage:
        problems = check_file(arguments.sheet, garage=garage)
    if arguments.json:
        rows = [problem_json(problem) for problem in problems]
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
    """Write the card, the book or the page for a mechanic; the job may be left out when there is one only."""
    from knowngood.acts.book import sections
    from knowngood.acts.hand_over import hand_over
    from knowngood.acts.job.garage import existing_garage
    from knowngood.report.paper.fill import PDFS

    with existing_garage(arguments.garage) as garage:
        job = garage.job(arguments.job or garage.only_job())
        if arguments.json:
            told = hand_over(garage, job) if arguments.document == "handover" else sections(job)
            print(json.dumps(dict(told), ensure_ascii=False, indent=1))
            return DONE
        content = PDFS[arguments.document](garage, job)
    out = arguments.out or Path(f"{arguments.document}-{job.id}.pdf")
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


def _verify(arguments: argparse.Namespace) -> int:
    """Look at every entry and every photo of a garage."""
    from knowngood.acts.job.garage import existing_garage
    from knowngood.acts.verify import verified

    with existing_garage(arguments.garage) as garage:
        entries, photos, damage = verified(garage)
    if arguments.json:
        print(json.dumps({"entries": entries, "photos": photos, "damage": damage}, ensure_ascii=False, indent=1))
    else:
        print(
            *damage, f"{entries} entries and {photos} photos looked at, {len(damage) or 'nothing'} damaged.", sep="\n"
        )
    return PROBLEMS if damage else DONE


def _serve(arguments: argparse.Namespace) -> int:
    from knowngood.acts.job.garage import default_folder, open_garage
    from knowngood.web.server.serve import serve, until_stopped

    served = True
    with until_stopped(), open_garage(arguments.garage or default_folder()) as garage:
        served = serve(garage, port=arguments.port, browser=not arguments.no_browser, lan=arguments.lan)
    return DONE if served else PROBLEMS


def _demo(arguments: argparse.Namespace) -> int:
    """A garage in a scratch folder, gone when the demo ends."""
    import tempfile

    from knowngood.acts.job.garage import open_garage
    from knowngood.demo import runs_hot
    from knowngood.web.server.serve import serve, until_stopped

    served, scratch = True, tempfile.TemporaryDirectory(prefix="knowngood-demo-")
    with until_stopped(), scratch as folder, open_garage(Path(folder)) as garage:
        runs_hot.fill(garage)
        print(runs_hot.TWO_JOBS)
        served = serve(garage, port=arguments.port, browser=not arguments.no_browser, lan=arguments.lan)
    return DONE if served else PROBLEMS
