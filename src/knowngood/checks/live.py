"""Cables that the battery feeds with no fuse between: its minus is off before one of them is touched."""

import re
from collections.abc import Iterable, Iterator

from knowngood.checks.doings import APART, clauses, plain, taken_apart, thing
from knowngood.checks.walk import Stand, Walk, Way, fact_of
from knowngood.sheet.facts import Fact
from knowngood.sheet.model import Sheet, Step
from knowngood.sheet.problem import Problem, Severity

POSTS = r"(?:cables?|leads?|clamps?|terminals?|posts?|poles?|nuts?|studs?|rings?|connections?)"
UNIT = r"(?:starter|alternator|generator|dynamo)(?: motor)?"
# What is bolted to a cable that comes straight from the battery, with no fuse between.
PLUS = thing(
    rf"(?:plus|positive|b\+) (?:\w+ )?{POSTS}"
    rf"|{POSTS} (?:of|from|at|for|off|on) (?:the )?(?:battery )?(?:plus|positive|b\+)"
    rf"|{UNIT} (?:\w+ )?{POSTS}|{POSTS} (?:of|from|at|off|on) (?:the )?{UNIT}|(?:terminal|clamp|post) 30"
    r"|(?:red|live|main) battery (?:cables?|leads?)|(?:red|live|main) cables? (?:of|off|from|at) (?:the )?battery",
    rf"{UNIT} (?:belt|pulley|bracket|mounting|fixing|adjuster|adjusting|tensioner) {POSTS}",
)
# Who takes one of these out takes its plus cable off.
UNIT_OUT = re.compile(
    rf"^(?:the |old )*{UNIT}(?: (?:off|out|away|down).*)?$"
    rf"|^(?:remove|take|pull|unbolt|disconnect|swap|change|renew|replace|lift) (?:out |off |down )?(?:the "
    rf"|old )*{UNIT}"
    r"(?: (?:out|off|away|down).*)?$"
)
MINUS = r"(?:minus|negative|(?:earth|ground)(?= (?:cable|lead|clamp|terminal|post|pole|strap)))"
WHOLE = r"battery(?! (?:cover|lid|box|tray|cap|charger|reading|lamp|light|charge|voltage)s?\b)"
BATTERY = re.compile(
    rf"^(?:12 ?v )?(?:battery(?: {MINUS})?(?: {POSTS}| strap)?|(?:{MINUS}|earth|ground)(?: battery)?(?: {POSTS}"
    rf"| strap)?)$"
)
# A fact of the sheet's own: battery_off, isolated(battery).
OWN_FACT = re.compile(
    rf"^(?:battery|{MINUS})(?: (?:clamp|terminal))? (?:off|out|isolated|dead)$|^(?:isolated|dead) battery$"
)
# "Battery off", "minus clamp off", "disconnect the battery".
SAYS_OFF = re.compile(
    rf"\b(?:{WHOLE}|{MINUS})\b.*\b(?:off|disconnected|isolated|removed|out)\b"
    rf"|\b(?:disconnect|remove|isolate|undo|loosen|take|lift|unbolt)\b.*\b(?:{WHOLE}|{MINUS})\b"
)
SAYS_ON = re.compile(
    rf"\b(?:{WHOLE}|{MINUS})\b.*\b(?:on|back|connected|reconnected)\b"
    rf"|\b(?:reconnect|connect|refit)\b.*\b(?:{WHOLE}|{MINUS})\b"
)
CLAMP = re.compile(rf"\b(?:battery|{MINUS}|plus|positive)\b.*\b(?:clamp|terminal|post|pole|cable|lead|strap)s?\b")


def plus_live(walk: Walk) -> Iterator[Problem]:
    """A plus cable loosened while the battery is on."""
    touched = {index: what for index, step in walk.steps if (what := _plus_touched(walk.sheet, step))}
    told: set[int] = set()
    for way in walk.ways:
        for place, stand in enumerate(way.stands):
            if stand.index in told or stand.index not in touched or battery_off(walk.sheet, way, place):
                continue
            told.add(stand.index)
            yield walk.problem(
                "plus cable live", Severity.STOP, ("steps", stand.index),
                f'loosens "{touched[stand.index]}" while the battery is on. A spanner from there to metal is a short '
                "circuit that burns and can set fire to it. Take the minus clamp off in a step before, with "
                '"makes: [disconnected(battery)]", and need that here.',
            )  # fmt: skip


def _plus_touched(sheet: Sheet, step: Step) -> str | None:
    named = list(taken_apart(sheet, step))
    return PLUS.among(named) or next((one for one in named if UNIT_OUT.match(one)), None)


def battery_off(sheet: Sheet, way: Way, place: int) -> bool:
    """Is the battery's minus off at a step, by facts, by bolts, or by what the sentences before it say?"""
    here = way.stands[place]
    if any(is_off(text) for text in here.before) or _minus_first(here):
        return True
    off = False
    for stand in way.stands[:place]:
        if takes_minus_off(sheet, stand.step):
            off = True
        elif puts_minus_on(stand.step):
            off = False
    return off


def is_off(text: str) -> bool:
    """Does a fact say that the battery, or its minus, is off?"""
    return _of_battery([fact_of(text)]) or bool(OWN_FACT.match(plain(text)))


def _minus_first(stand: Stand) -> bool:
    """Does the step itself take the minus off before it comes to the plus?"""
    acts = clauses(stand.step.do)
    minus = next((row for row, act in enumerate(acts) if _says_off(act)), None)
    plus = next((row for row, act in enumerate(acts) if PLUS.among([act]) or UNIT_OUT.match(act)), len(acts))
    return minus is not None and minus <= plus


def takes_minus_off(sheet: Sheet, step: Step) -> bool:
    """Does a step take the battery's minus clamp, or the battery, off?"""
    named = (plain(sheet.fasteners[name].name) for name in step.loosen)
    by_bolts = any(BATTERY.match(name) for name in named)
    return by_bolts or _of_battery(step.makes) or any(_says_off(row) for row in clauses(step.do))


def _says_off(act: str) -> bool:
    """Is the minus, or the battery as a whole, taken off? Its plus alone is not."""
    return bool(SAYS_OFF.search(act)) and (PLUS.among([act]) is None or bool(re.search(MINUS, act)))


def puts_minus_on(step: Step) -> bool:
    """Does a step put it on again?"""
    return _of_battery(step.ends) or any(SAYS_ON.search(row) for row in clauses(step.do))


def _of_battery(facts: Iterable[Fact]) -> bool:
    return any(fact.word in APART and fact.of and BATTERY.match(plain(fact.of)) for fact in facts)


def clamps_handled(sheet: Sheet, step: Step, *, by_words: bool) -> bool:
    """Is a clamp of the battery loosened or fitted here, by facts, by bolts, perhaps by the words alone?"""
    bolts = (plain(sheet.fasteners[name].name) for name in (*step.loosen, *step.tighten))
    if any(CLAMP.search(name) for name in bolts) or _of_battery((*step.makes, *step.ends)):
        return True
    return by_words and (takes_minus_off(sheet, step) or puts_minus_on(step))
