"""The command `judge`: is a reading within limits?"""

import argparse
import json
import sys

from knowngood.cli.base import DONE, WRONG_USE, Parser


def _quantities_help() -> str:
    """Each quantity with an example that works as it stands, behind the options of judge."""
    from knowngood.quantities.known import QUANTITIES

    rows = [f"  {one.name}: {one.title}\n    judge {one.example}\n" for one in QUANTITIES.values()]
    return "\n".join(["", "Quantities, each with an example:", *rows])


def options(parser: Parser) -> None:
    """What can be written behind the command."""
    parser.set_defaults(command=judge)
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


def judge(arguments: argparse.Namespace) -> int:
    """Judge what was written, and print the verdict."""
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
