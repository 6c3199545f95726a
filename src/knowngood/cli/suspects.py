"""The command `suspects`: what could be wrong, by what was found, and what to do next."""

import argparse
import json
import sys
from collections import deque
from pathlib import Path
from typing import TYPE_CHECKING

from knowngood.cli.base import DONE, PROBLEMS, Parser, wrong_use

if TYPE_CHECKING:
    from knowngood.acts.faults.firm import Firm
    from knowngood.acts.faults.plan import Plan
    from knowngood.acts.faults.suspects import Suspected
    from knowngood.acts.tools.prices import Prices
    from knowngood.sheet.model import Sheet

# Ours: what somebody waits for at a terminal; more of it seldom proves much more.
PIECES = 20
NO_SUSPECTS = '"{}" names no suspects. Add what could be wrong, such as suspects: ["Fan relay", "Thermostat"].'


def options(parser: Parser) -> None:
    """What can be written behind the command."""
    parser.set_defaults(command=suspects)
    parser.add_argument("sheet", type=Path, nargs="?", metavar="SHEET", help="a job sheet with suspects; or --job")
    parser.add_argument(
        "--found", action="append", default=[], metavar="TEST=OUTCOME",
        help='what a test showed: "lights=yes"; of a repair that did not help: "relay=still there"; once for each',
    )  # fmt: skip
    parser.add_argument("--rate", default="", metavar="MONEY", help="what an hour of yours is worth: 15")
    parser.add_argument("--quote", default="", metavar="MONEY", help="what a shop asks to mend it: 350")
    parser.add_argument("--garage", type=Path, help="the garage's folder; its prices count")
    parser.add_argument("--job", default="", help="that job of the garage, with all that was found in it")
    parser.add_argument(
        "--firm", action="store_true", help="also over which chances, prices and words the next thing to do stays best"
    )
    parser.add_argument(
        "--pieces", type=int, default=PIECES, metavar="N",
        help=f"pieces of work, each about a second, where every order is too much to try out; {PIECES} when left out",
    )  # fmt: skip
    parser.add_argument("--json", action="store_true")


def suspects(arguments: argparse.Namespace) -> int:
    """Print each suspect before and after what was found, and the plan."""
    from knowngood.refusal import Refused

    try:
        found = _found(arguments)
    except Refused as refused:
        return wrong_use(refused.problems)
    if found is None:
        return PROBLEMS
    plan = _plan(found, max(arguments.pieces, 1))
    stands = _firm(found, plan) if arguments.firm and plan is not None else None
    from knowngood.report.terminal import suspects_lines

    if arguments.json:
        print(json.dumps(suspects_lines.as_json(found, plan, stands), ensure_ascii=False, indent=1))
    else:
        print(suspects_lines.suspects(found, plan, stands))
    return DONE


def _plan(found: "Suspected", pieces: int) -> "Plan | None":
    """The best plan; told on the way where somebody watches, who may take the best so far."""
    from knowngood.acts.faults.plan import plans
    from knowngood.acts.faults.why_words import proved_words

    best, watched = None, sys.stderr.isatty()
    try:
        for best in plans(found, steps=pieces):
            if watched and not best.settled:
                words = proved_words(best, looking=True)
                print(f"\r\033[K{words} Ctrl+C takes the best so far. ", end="", file=sys.stderr, flush=True)
    except KeyboardInterrupt:
        if best is None:
            raise
    if watched:
        print("\r\033[K", end="", file=sys.stderr, flush=True)
    return best


def _firm(found: "Suspected", plan: "Plan") -> "Firm":
    """How firmly the next action stands, with every number looked at."""
    from knowngood.acts.faults.firm import firm

    return deque(firm(found, plan), maxlen=1).pop()


def _found(arguments: argparse.Namespace) -> "Suspected | None":
    """What could be wrong; None when the sheet has problems, which are printed.

    Raises:
        Refused: A sentence at each option that cannot be used.
    """
    from knowngood.acts.faults.suspects import suspected_of
    from knowngood.refusal import Refused, parsed

    if (arguments.sheet and arguments.job) or not (arguments.sheet or arguments.garage):
        raise Refused({"job": "Give a job sheet, or --garage with --job, not both."})
    further = [_finding(words) for words in arguments.found]
    rate, quote = (_money(name, getattr(arguments, name)) for name in ("rate", "quote"))
    if arguments.sheet is None:
        return parsed("found", lambda: _in_job(arguments, further, rate, quote))
    sheet = _sheet(arguments.sheet)
    if sheet is None:
        return None
    prices = _prices(arguments.garage, sheet)
    return parsed("found", lambda: suspected_of(sheet, further, prices=prices, rate_per_hour=rate, quote=quote))


def _in_job(
    arguments: argparse.Namespace, further: list[tuple[str, str]], rate: float | None, quote: float | None
) -> "Suspected":
    from knowngood.acts.faults.suspects import suspected
    from knowngood.acts.job.garage import existing_garage
    from knowngood.refusal import Refused

    with existing_garage(arguments.garage) as garage:
        job = garage.job(arguments.job or garage.only_job())
        found = suspected(garage, job, further, rate_per_hour=rate, quote=quote)
    if found is None:
        raise Refused({"job": NO_SUSPECTS.format(job.title)})
    return found


def _sheet(path: Path) -> "Sheet | None":
    """The sheet, when suspects can be made of it; else what stands against it is printed with its line."""
    from knowngood.cli.sheets import sound
    from knowngood.refusal import Refused

    sheet = sound(path)
    if sheet is not None and not sheet.suspects:
        raise Refused({"": NO_SUSPECTS.format(path.name)})
    return sheet


def _prices(folder: Path | None, sheet: "Sheet") -> "Prices":
    from knowngood.acts.job.garage import existing_garage
    from knowngood.acts.tools.prices import NO_PRICES, prices_of

    if folder is None:
        return NO_PRICES
    with existing_garage(folder) as garage:
        return prices_of(garage.toolbox(), sheet)


def _finding(words: str) -> tuple[str, str]:
    from knowngood.refusal import Refused

    key, equals, outcome = (one.strip() for one in words.partition("="))
    if not (key and equals and outcome):
        raise Refused({"found": f'"{words}" is not test=outcome. Write it such as "lights=yes".'})
    return key, outcome


def _money(name: str, typed: str) -> float | None:
    from knowngood.refusal import parsed
    from knowngood.units.bare import money

    return parsed(name, lambda: money(typed)) if typed else None
