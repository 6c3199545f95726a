"""The command `decide`: replace a doubtful part now, test more, close and watch, or hand over."""

import argparse
import json
from pathlib import Path
from typing import TYPE_CHECKING

from knowngood.cli.base import DONE, PROBLEMS, Parser, wrong_use

if TYPE_CHECKING:
    from knowngood.acts.faults.cover_inputs import Known

OPTIONS = {
    "probability": 'that the part is bad: "40 %%", "30..50 %%" or "4 of 10"; else as the suspects stand',
    "part": "the new part: 46", "part-minutes": "and your extra minutes now: 12",
    "part-later": "the part, if it will cost something else later",
    "again": "getting to it again later, gasket and fluid: 150", "again-minutes": "and your minutes for that",
    "damage": "a tow, or what it breaks, if it fails first: 120", "damage-minutes": "and your minutes for that",
    "credit": "what the life left in the old part is worth", "new-bad": 'chance that the new one is bad: "1 %%"',
    "hour": "what an hour of yours is worth", "quote": "what a shop asks to take over from here",
    "life": 'how far such a part lives: "150000 km"', "age": 'what it has behind it: "90000 km"',
    "horizon": 'for how long it is to hold: "30000 km"',
    "test": 'one that can be made now: shows a bad part, shows a good one, costs: "80 %% 10 %% 5"',
    "later-test": "the same for one that can be made with the cover closed",
}  # fmt: skip


def options(parser: Parser) -> None:
    """What can be written behind the command."""
    parser.set_defaults(command=decide)
    parser.add_argument("sheet", type=Path, nargs="?", metavar="SHEET", help="a job sheet; or --job, or numbers alone")
    parser.add_argument("--about", default="", metavar="NAME", help="the doubtful part, by its short name in the sheet")
    for name, what in OPTIONS.items():
        parser.add_argument(f"--{name}", default="", metavar="WORDS", help=what)
    parser.add_argument("--job", default="", help="that job of the garage; its findings and prices count")
    parser.add_argument("--garage", type=Path, help="the garage's folder")
    parser.add_argument("--json", action="store_true")


def decide(arguments: argparse.Namespace) -> int:
    """Print one advice, what each option costs, and where the answer flips."""
    from knowngood.acts.faults.cover_decision import as_json, weigh
    from knowngood.acts.faults.part_typed import FIELDS
    from knowngood.refusal import Refused

    try:
        known = _known(arguments)
        if known is None:
            return PROBLEMS
        told = weigh(known, {name: getattr(arguments, name) for name in FIELDS})
    except Refused as refused:
        return wrong_use({name.replace("_", "-"): sentence for name, sentence in refused.problems.items()})
    if arguments.json:
        print(json.dumps(as_json(told), ensure_ascii=False, indent=1))
    else:
        from knowngood.report.terminal import cover

        print(cover.decision(told))
    return DONE


def _known(arguments: argparse.Namespace) -> "Known | None":
    """What the job, the sheet, or nothing but the name says; None when the sheet has mistakes, which are told."""
    from knowngood.acts.faults.cover_inputs import Known
    from knowngood.acts.faults.doubtful_parts import part_named
    from knowngood.acts.faults.known_part import known_in_job, known_in_sheet
    from knowngood.cli.sheets import sound

    if arguments.job or arguments.garage:
        from knowngood.acts.job.garage import existing_garage

        with existing_garage(arguments.garage) as garage:
            return known_in_job(garage, garage.job(arguments.job or garage.only_job()), arguments.about)
    if arguments.sheet is None:
        return Known(part_named(arguments.about))
    sheet = sound(arguments.sheet)
    return None if sheet is None else known_in_sheet(sheet, arguments.about)
