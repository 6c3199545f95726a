"""What could be wrong in the terminal: each suspect before and after, what moved it, and the plan; the same as JSON."""

import math
import textwrap
from collections.abc import Iterator
from itertools import groupby
from typing import Any

from knowngood.acts.faults.firm import Firm
from knowngood.acts.faults.plan import HAND_OVER, Plan, nothing_next
from knowngood.acts.faults.suspects import Evidence, Suspected
from knowngood.acts.faults.why_words import (
    before_words,
    likelier_words,
    next_words,
    outlook_words,
    proved_words,
    shows_words,
    takes_words,
    what_words,
)
from knowngood.engine.troubleshooting.model.amounts import Price
from knowngood.engine.troubleshooting.model.parts import Cause, Cover, Repair, Test
from knowngood.engine.troubleshooting.model.problem import Problem
from knowngood.engine.troubleshooting.policy.moves import Action, Kind
from knowngood.engine.troubleshooting.policy.tree import End, Step
from knowngood.engine.troubleshooting.ranges.numbers import Number
from knowngood.engine.troubleshooting.ranges.stretches import Range
from knowngood.words import capital

COLUMNS, WIDE = 24, 100
OTHERWISE = {"quote": "The shop's quote", "check": "The check after a repair", "hour": "An hour of your own"}
FULL, EMPTY, WAS = "█", "·", "|"


def suspects(found: Suspected, plan: Plan | None, firm: Firm | None = None) -> str:
    """Return what could be wrong and what to do next, in lines.

    Args:
        found: What could be wrong.
        plan: What to do; None without a quote, or when the fault is gone.
        firm: How firmly its next action stands; None when that was not asked.
    """
    lines = [found.sheet.title, *_bars(found), *_evidence(found)]
    if plan is None or nothing_next(found, plan):
        return "\n".join([*lines, *_wrapped(nothing_next(found, plan))])
    lines += [f"Next: {capital(what_words(plan.next))}.", *_wrapped(next_words(plan.next))]
    lines += _wrapped(before_words(found.before, plan.next))
    lines += _wrapped(found.unpriced_words)
    lines += [*_wrapped(" ".join(outlook_words(plan))), proved_words(plan, looking=False)]
    lines += ["The plan:", *_tree(plan.problem, plan.tree.root, 1, 1.0)]
    lines += _firm(found.problem, firm) if firm is not None else []
    return "\n".join([*lines, *(f"Assumed: {one}." for one in found.assumed)])


def _wrapped(text: str) -> list[str]:
    return textwrap.wrap(text, width=WIDE)


def _bars(found: Suspected) -> Iterator[str]:
    """A bar of how likely each is now; a stroke stands where it was before the findings."""
    wide = max(len(one.name) for one in found.suspects)
    for one in found.likeliest:
        cells = [FULL if at < round(COLUMNS * one.after) else EMPTY for at in range(COLUMNS)]
        if found.evidence:
            cells[min(COLUMNS - 1, round(COLUMNS * one.before))] = WAS
        before = f"  before {one.before:4.0%}" if found.evidence else ""
        yield f"  {one.name:<{wide}}  {''.join(cells)} {one.after:4.0%}{before}"


def _evidence(found: Suspected) -> Iterator[str]:
    names = {one.key: one.name for one in found.suspects}
    if found.evidence:
        yield "What was found:"
    for one in found.evidence:
        said = f"  {found.names[one.found.key]}: {shows_words(found.sheet, one.found.key, one.found.outcome)}"
        if one.found.told_by is not None:
            yield f'{said} (counted once, with "{found.names[one.found.told_by]}")'
        else:
            yield f"{said} ({'; '.join(_most_moved(one, names))})"


def _most_moved(one: Evidence, names: dict[str, str]) -> list[str]:
    """The suspect that a finding helped most, and the one that it spoke most against."""
    moved = sorted(one.moved, key=lambda each: each.decibans)
    ends = dict.fromkeys((moved[-1].cause, moved[0].cause))
    rows = [each for cause in ends for each in moved if each.cause == cause]
    return [f"{names[each.cause]} {likelier_words(each)}" for each in rows]


def _tree(problem: Problem, node: Step | End, depth: int, whole: float) -> Iterator[str]:
    """The plan as indented lines; shares are of all cases."""
    space = "  " * depth
    if isinstance(node, End):
        yield space + _end_words(node)
        return
    yield f"{space}{_action_words(problem, node.action)} ({takes_words(node.price)})"
    for branch in node.branches:
        share = f"{branch.then.chance / whole:.0%}"
        if isinstance(branch.then, End):
            yield f"{space}  {branch.shows} ({share}): {_end_words(branch.then)}"
        else:
            yield f"{space}  {branch.shows} ({share}):"
            yield from _tree(problem, branch.then, depth + 2, whole)


def _firm(problem: Problem, firm: Firm) -> Iterator[str]:
    """The numbers that change what to do next somewhere, each with what is best over which stretch."""
    moves = [one for one in (*firm.asked, *firm.ranges) if one.changes]
    if firm.words is None:
        yield "How firmly that stands is not known: there is too much to try out."
    elif not moves:
        yield "No chance, price or word changes what to do next."
    else:
        yield (
            "What to do next changes with:"
            if firm.asked
            else "No doubt about a word changes what to do next; these do:"
        )
    for one in moves:
        yield from textwrap.wrap(
            f"{_number_words(problem, one.number)} (now {one.number.value:.3g}): {_stretches(problem, one)}",
            width=WIDE, initial_indent="  ", subsequent_indent="    ",
        )  # fmt: skip


def _stretches(problem: Problem, one: Range) -> str:
    """What is best over which stretch, in order; "about" where looking was cut short."""
    told = []
    for action, group in groupby(one.stretches, key=lambda span: span.action):
        spans = list(group)
        about = "" if all(span.proved for span in spans) else "about "
        told.append(f"{about}{spans[0].low:.3g} to {spans[-1].high:.3g} {_action_words(problem, action)}")
    return ", ".join(told)


def _number_words(problem: Problem, number: Number) -> str:
    things: tuple[Test | Repair | Cover | Cause, ...]
    things = (*problem.tests, *problem.repairs, *problem.covers, *problem.causes)
    name = {**OTHERWISE, **{one.key: one.name for one in things}}[number.key]
    cause = problem.cause_of.get(number.cause)
    with_it = f" with {cause.name}" if cause is not None and number.cause != number.key else ""
    return f"{name}, {number.kind}{with_it}"


def _end_words(end: End) -> str:
    if end.cut:
        return "too seldom to be planned now"
    return HAND_OVER if end.shop_chance > 0.0 else "done"


def _action_words(problem: Problem, action: Action) -> str:
    things = problem.repair_of if action.kind is Kind.REPAIR else problem.test_of
    return " and ".join(things[key].name for key in action.keys) or HAND_OVER


def as_json(found: Suspected, plan: Plan | None, firm: Firm | None = None) -> dict[str, Any]:
    """Return the same as plain JSON; money in the owner's own, minutes of their own time.

    Args:
        found: What could be wrong.
        plan: What to do; None without a quote, or when the fault is gone.
        firm: How firmly its next action stands; None when that was not asked.
    """
    document = {
        "prior": {one.key: one.before for one in found.suspects},
        "posterior": {one.key: one.after for one in found.suspects},
        "findings": [_finding_json(one) for one in found.evidence],
        "rate_per_hour": found.problem.rate_per_hour,
        "unpriced": list(found.unpriced),
        "unpriced_words": found.unpriced_words,
        "assumed": list(found.assumed),
        "gone_by": found.gone_by,
    }
    if plan is None or nothing_next(found, plan):
        why = None if found.gone_by is not None else nothing_next(found, plan)
        nothing = dict.fromkeys(("next", "expected_cost", "expected", "worst", "shop_chance", "proved_gap", "policy"))
        return {**document, **nothing, "why_no_plan": why}
    stands = {} if firm is None else {
        "asked": None if firm.words is None else [_range_json(one) for one in firm.asked],
        "ranges": [_range_json(one) for one in firm.ranges],
    }  # fmt: skip
    return {**document, **_plan_json(plan), **stands}


def _range_json(one: Range) -> dict[str, Any]:
    number = one.number
    return {
        "kind": number.kind.value,
        "key": number.key,
        "suspect": number.cause or None,
        "value": number.value,
        "loss": one.loss,
        "stretches": [
            {"action": "+".join(span.action.keys) or span.action.kind.value, "low": span.low, "high": span.high,
             "proved": span.proved}
            for span in one.stretches
        ],
    }  # fmt: skip


def _plan_json(plan: Plan) -> dict[str, Any]:
    first = plan.next
    return {
        "next": {
            "action": first.key, "kind": first.kind.value, "keys": list(first.keys), "name": first.name,
            **_price_json(first.price), "pays": first.pays, "expected_cost": plan.expected_cost,
        },
        "expected_cost": plan.expected_cost,
        "expected": _price_json(plan.expected),
        "worst": _price_json(plan.worst),
        "shop_chance": plan.shop_chance,
        "proved_gap": plan.proved_gap if math.isfinite(plan.proved_gap) else None,
        "proved": plan.label,
        "policy": _node_json(plan.tree.root),
    }  # fmt: skip


def _price_json(price: Price) -> dict[str, float]:
    return {"money": price.money, "minutes": price.minutes}


def _finding_json(one: Evidence) -> dict[str, Any]:
    return {
        "test": one.found.key,
        "outcome": one.found.outcome,
        "counts": one.found.told_by is None,
        "decibans": {each.cause: each.decibans if math.isfinite(each.decibans) else None for each in one.moved},
    }


def _node_json(node: Step | End) -> dict[str, Any]:
    if isinstance(node, End):
        end = "cut" if node.cut else "shop" if node.shop_chance > 0.0 else "gone"
        return {"end": end, "chance": node.chance, **_price_json(node.spent)}
    return {
        "action": "+".join(node.action.keys),
        "kind": node.action.kind.value,
        "keys": list(node.action.keys),
        "chance": node.chance,
        **_price_json(node.price),
        "branches": [{"shows": one.shows, "then": _node_json(one.then)} for one in node.branches],
    }
