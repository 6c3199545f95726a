"""What could be wrong in the terminal: each suspect before and after, what moved it, and the plan; the same as JSON."""

import math
import textwrap
from collections.abc import Iterator
from typing import Any

from knowngood.acts.suspects import Evidence, Suspected
from knowngood.acts.suspects_plan import HAND_OVER, NO_QUOTE, Plan
from knowngood.acts.why_words import (
    likelier_words,
    next_words,
    outlook_words,
    proved_words,
    shows_words,
    takes_words,
    what_words,
)
from knowngood.engine.troubleshooting.amounts import Price
from knowngood.engine.troubleshooting.model import Repair, Test
from knowngood.engine.troubleshooting.moves import Action, Kind
from knowngood.engine.troubleshooting.problem import Problem
from knowngood.engine.troubleshooting.tree import End, Step

COLUMNS, WIDE = 24, 100
FULL, EMPTY, WAS = "█", "·", "|"


def suspects(found: Suspected, plan: Plan | None) -> str:
    """Return what could be wrong and what to do next, in lines.

    Args:
        found: What could be wrong.
        plan: What to do; None without a quote, or when the fault is gone.
    """
    lines = [found.sheet.title, *_bars(found), *_evidence(found)]
    if found.gone_by is not None:
        return "\n".join([*lines, f'The fault was gone after "{found.gone_by}".'])
    if plan is None:
        return "\n".join([*lines, *_wrapped(NO_QUOTE)])
    head = what_words(plan.next)
    lines += [f"Next: {head[0].upper()}{head[1:]}.", *_wrapped(next_words(plan.next))]
    lines += [*_wrapped(" ".join(outlook_words(plan))), proved_words(plan, looking=False)]
    lines += ["The plan:", *_tree(plan.problem, plan.tree.root, 1, 1.0)]
    if found.unpriced:
        lines += _wrapped(f"Counted as costing nothing, for nobody stated a price: {', '.join(found.unpriced)}.")
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
    things: dict[str, Test | Repair] = {**found.problem.test_of, **found.problem.repair_of}
    if found.evidence:
        yield "What was found:"
    for one in found.evidence:
        said = f"  {things[one.found.key].name}: {shows_words(found.sheet, one.found.key, one.found.outcome)}"
        if one.found.told_by is not None:
            yield f'{said} (counted once, with "{things[one.found.told_by].name}")'
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


def _end_words(end: End) -> str:
    if end.cut:
        return "too seldom to be planned now"
    return HAND_OVER if end.shop_chance > 0.0 else "done"


def _action_words(problem: Problem, action: Action) -> str:
    things = problem.repair_of if action.kind is Kind.REPAIR else problem.test_of
    return " and ".join(things[key].name for key in action.keys) or HAND_OVER


def as_json(found: Suspected, plan: Plan | None) -> dict[str, Any]:
    """Return the same as plain JSON; money in the owner's own, minutes of their own time.

    Args:
        found: What could be wrong.
        plan: What to do; None without a quote, or when the fault is gone.
    """
    document = {
        "prior": {one.key: one.before for one in found.suspects},
        "posterior": {one.key: one.after for one in found.suspects},
        "findings": [_finding_json(one) for one in found.evidence],
        "rate_per_hour": found.problem.rate_per_hour,
        "unpriced": list(found.unpriced),
        "assumed": list(found.assumed),
        "gone_by": found.gone_by,
    }
    if plan is None:
        why = None if found.gone_by is not None else NO_QUOTE
        nothing = dict.fromkeys(("next", "expected_cost", "expected", "worst", "shop_chance", "proved_gap", "policy"))
        return {**document, **nothing, "why_no_plan": why}
    return {**document, **_plan_json(plan)}


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
