"""The command `judge`: is a reading within limits?"""

import argparse
import json
from pathlib import Path
from typing import TYPE_CHECKING

from knowngood.cli.base import DONE, Parser, wrong_use

if TYPE_CHECKING:
    from knowngood.store.folds import ToolboxState


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
    parser.add_argument("--name", default="", help="what was read: horn relay coil")
    parser.add_argument(
        "--not-safety", default="", metavar="WHY", help="why it belongs to no airbag, belt, high voltage or refrigerant"
    )
    parser.add_argument("--at", default="", help='temperature the limits are stated for: "20 °C"')
    parser.add_argument("--zero", default="", help='reading with the probes touching: "0.4 ohm"')
    parser.add_argument("--part", default="", help='temperature of the part: "48 ± 4 °C"')
    parser.add_argument("--conductor", default="", help="copper, aluminium or alloy")
    parser.add_argument(
        "--set", action="append", default=[], metavar="NAME=VALUE", help="what a quantity asks beside these"
    )
    parser.add_argument(
        "--meter", default="", help='data sheet line: "0.8 %% + 3 digits, 0.1 ohm"; with --garage a name of its toolbox'
    )
    parser.add_argument("--garage", type=Path, help="judge with this garage's toolbox and prices")
    parser.add_argument("--ambient", default="", help='temperature where the meter lies: "5 °C"')
    parser.add_argument(
        "--rule", default="", help='"usual", "safety", or two costs "30 100": wrongly good, wrongly out'
    )
    parser.add_argument("--json", action="store_true")


def judge(arguments: argparse.Namespace) -> int:
    """Judge what was written, and print the verdict."""
    from knowngood.acts.readings import judging
    from knowngood.refusal import Refused

    toolbox = _toolbox(arguments.garage)
    try:
        judged = judging.judge_typed(
            _typed(arguments), reading_id="typed", name=arguments.name.strip(), toolbox=toolbox
        )
    except Refused as refused:
        further = {"meter": _names(toolbox)} if toolbox else {}
        told = refused.problems.items()
        return wrong_use({name.replace("_", "-"): sentence + further.get(name, "") for name, sentence in told})
    if arguments.json:
        print(json.dumps(judging.as_json(judged), ensure_ascii=False, indent=1))
    else:
        from knowngood.report.terminal import verdict

        print(verdict.verdict(judged))
    return DONE


def _toolbox(folder: Path | None) -> "ToolboxState | None":
    """What a garage holds; it is loaded only when one is named, for a plain verdict needs none."""
    if folder is None:
        return None
    from knowngood.acts.job.garage import existing_garage

    with existing_garage(folder) as garage:
        return garage.toolbox()


def _names(toolbox: "ToolboxState") -> str:
    names = "; ".join(dict.fromkeys(event.data["name"] for event in toolbox.instruments))
    return f" The toolbox has {names or 'no instrument'}."


def _typed(arguments: argparse.Namespace) -> dict[str, str]:
    """All words by field; those after --set by the name before the =.

    Raises:
        Refused: No =, or a name that the quantity does not ask.
    """
    from knowngood.acts.readings.gated import NOT_SAFETY
    from knowngood.acts.readings.judging import COMMON
    from knowngood.quantities.known import asked_by, asks_words
    from knowngood.refusal import Refused

    usual = (*COMMON, "zero", "part", "at", "conductor", NOT_SAFETY)
    typed: dict[str, str] = {key: getattr(arguments, key) for key in usual}
    for words in arguments.set:
        name, equals, value = words.partition("=")
        if not equals or name not in asked_by(arguments.quantity):
            raise Refused({"set": f'"{words}" is nothing to set here. {asks_words(arguments.quantity)}'})
        typed[name] = value
    return typed
