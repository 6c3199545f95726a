"""How firmly the advice of Why stands: the one word worth asking, and how far chances and prices may move, in words."""

import math
from typing import Any

from knowngood.acts.faults.firm import LEAST_LOSS, Firm, stays
from knowngood.acts.faults.said import TEN, mark, said_in
from knowngood.acts.faults.suspects import Suspected
from knowngood.acts.faults.why_words import shows_words, time_words
from knowngood.acts.job.garage import Job
from knowngood.acts.tools.prices import expected_words
from knowngood.engine.judgement import percent
from knowngood.engine.troubleshooting.model.parts import OTHER
from knowngood.engine.troubleshooting.model.problem import Problem
from knowngood.engine.troubleshooting.policy.moves import Action, Kind
from knowngood.engine.troubleshooting.ranges.numbers import Kind as Says
from knowngood.engine.troubleshooting.ranges.numbers import Number
from knowngood.engine.troubleshooting.ranges.stretches import Range, Stretch
from knowngood.web.pages.of_job import undo
from knowngood.web.parts.forms import Field, Form, Kept
from knowngood.words import capital

NAMES = {"quote": "The shop's quote", "check": "The check after a repair", "hour": "An hour of your own"}
SAID = {Says.CHANCE: "how likely", Says.MINUTES: "time", Says.MONEY: "money", Says.RATE: "money"}
ANY_OTHER = "something that is not on the list"
STAYS = "However far one word of the sheet, such as “usually”, is off within its range, the advice stays the best."
NEAR = (
    "One word of the sheet, such as “usually”, could change the advice, but that would save less than {:g} on average."
)
NOT_KNOWN = "Whether a word of the sheet, such as “usually”, could change the advice is not known: too much to try out."


def word(job: Job, found: Suspected, firm: Firm, kept: Kept | None) -> dict[str, Any]:
    """What was said better than the sheet has it, the one word that is worth asking now, or why none is."""
    back = f"/job/{job.id}/why"
    rows = [
        {
            "words": f"{_question(found, event.data['word'])} {event.data['of_10']:g}.",
            "undo": undo(job, event.id, "Take it back", back).shown(kept),
        }
        for event in said_in(job)
        if _known(found, event.data["word"])
    ]
    asked = firm.asked[0] if firm.asked else None
    return {"said": rows, "ask": _ask(job, found, asked, kept) if asked else None, "told": _told(firm)}


def _told(firm: Firm) -> str:
    """Whether a doubt about one word changes what is best next, where none is asked for."""
    if firm.words is None:
        return NOT_KNOWN if firm.settled else ""
    if firm.asked or not firm.words:
        return ""
    return NEAR.format(LEAST_LOSS) if any(one.changes for one in firm.words) else STAYS


def _ask(job: Job, found: Suspected, asked: Range, kept: Kept | None) -> dict[str, Any]:
    number, key = asked.number, mark(asked.number)
    field = Field("of_10", _question(found, key), "number", "of 10", required=True)
    form = Form("word_said", f"job/{job.id}", f"/job/{job.id}/why", [field], hidden={"word": key})
    other = [each for each in asked.stretches if each.action != asked.action]
    low, value, high = (f"{TEN * one:.2g}" for one in (number.low, number.value, number.high))
    why = (
        f"What is best next hangs on one word. It is taken as {value} of 10 and may be {low} to {high}; "
        f"otherwise {_others(found.problem, other)} would be better. Skip it if you do not know."
    )
    return {**form.shown(kept), "why": why}


def _question(found: Suspected, key: str) -> str:
    thing, _, cause = key.partition("/")
    problem = found.problem
    with_it = ANY_OTHER if cause == OTHER else f"“{problem.cause_of[cause].name}”"
    name = _name(problem, thing)
    if thing in problem.repair_of:
        return f"Of 10 vehicles with {with_it}, in how many would “{name}” mend it?"
    test = problem.test_of[thing]
    shows = shows_words(found.sheet, thing, test.outcomes[0])
    return f"Of 10 vehicles with {with_it}, in how many would “{name}” show “{shows}”?"


def _known(found: Suspected, key: str) -> bool:
    thing, _, cause = key.partition("/")
    problem = found.problem
    return thing in {*problem.test_of, *problem.repair_of} and cause in problem.cause_of


def rows(found: Suspected, firm: Firm) -> dict[str, Any] | None:
    """How far each chance and price may move before something else is best next; None when that is not known."""
    if not firm.ranges:
        return None
    problem = found.problem
    told = [(one, within) for one in firm.ranges if (within := stays(one)) is not None]
    told.sort(key=lambda each: _room(each[0].number, each[1]))
    moves = [(_label(problem, one.number), _stays(problem, one, within)) for one, within in told if one.changes]
    never = _together(problem, [one.number for one, _ in told if not one.changes])
    return {"rows": moves, "never": never, "settled": firm.settled}


def _together(problem: Problem, numbers: list[Number]) -> list[str]:
    """What each thing is named for, each thing once."""
    named: dict[str, list[str]] = {}
    for one in numbers:
        named.setdefault(_name(problem, one.key), []).append(SAID[one.kind])
    return [f"{name} ({', '.join(dict.fromkeys(said))})" for name, said in named.items()]


def _room(number: Number, within: Stretch) -> float:
    """How far a number may be off before the advice changes: the logarithm of how many times itself, or its odds."""
    ends = [end for end in (within.low, within.high) if number.low < end < number.high]
    return min((abs(_times(number, end) - _times(number, number.value)) for end in ends), default=math.inf)


def _times(number: Number, value: float) -> float:
    if value == 0.0:
        return -math.inf
    return math.log(value / (1.0 - value) if number.kind is Says.CHANCE else value)


def _stays(problem: Problem, one: Range, within: Stretch) -> str:
    number = one.number
    low, high = (_size(number, end) for end in (within.low, within.high))
    span = f"from {low} to {high}"
    if within.low <= number.low:
        span = f"up to {high}"
    elif within.high >= number.high:
        span = f"from {low} on"
    beyond = [each for each in one.stretches if each.high == within.low or each.low == within.high]
    unproved = "" if within.proved else ", as far as was looked"
    return (
        f"{_size(number, number.value)} now; the advice stays {span}{unproved}; otherwise {_others(problem, beyond)}."
    )


def _others(problem: Problem, stretches: list[Stretch]) -> str:
    """What is best over some stretches."""
    return " or ".join(_what(problem, action) for action in dict.fromkeys(one.action for one in stretches))


def _what(problem: Problem, action: Action) -> str:
    named = " and ".join(f"“{_name(problem, key)}”" for key in action.keys)
    return {Kind.TEST: f"the test {named}", Kind.REPAIR: named, Kind.SHOP: "handing it over"}[action.kind]


def _label(problem: Problem, number: Number) -> str:
    return f"{_name(problem, number.key)}, {SAID[number.kind]}"


def _name(problem: Problem, key: str) -> str:
    for things in (problem.cause_of, problem.test_of, problem.repair_of, problem.cover_of):
        if key in things:
            return capital(things[key].name)
    return NAMES[key]


def _size(number: Number, value: float) -> str:
    if number.kind is Says.CHANCE:
        return percent(value)
    return time_words(value) if number.kind is Says.MINUTES else expected_words(value)
