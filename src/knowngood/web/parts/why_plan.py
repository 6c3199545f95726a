"""What to do next about a fault, as Why and Now show it: one advice, what is proved of it, and the whole plan."""

from dataclasses import dataclass
from functools import partial
from typing import Any

from knowngood.acts.faults.before import steps_to_do
from knowngood.acts.faults.firm import Firm
from knowngood.acts.faults.plan import Plan, known_plan, nothing_next, plan_of
from knowngood.acts.faults.suspects import Suspected, suspected_here
from knowngood.acts.faults.why_words import (
    before_words,
    next_words,
    outlook_words,
    proved_words,
    shows_words,
    takes_words,
    what_words,
)
from knowngood.acts.job.garage import Garage, Job
from knowngood.acts.job.run import Standing
from knowngood.engine.troubleshooting.policy.moves import Kind
from knowngood.engine.troubleshooting.policy.tree import GONE, STILL_THERE, Branch, End, Step
from knowngood.refusal import Refused
from knowngood.sheet.model import Step as SheetStep
from knowngood.web.server.failing import part
from knowngood.web.server.worker import Worker

# What a page waits for: rules of thumb, at once. The worker does the rest.
FIRST_ANSWER = 1
NOT_YET = Firm()
NOTHING: dict[str, Any] = {"what": "", "words": "", "first": "", "unpriced": "", "proved": "", "step": None}
NOT_SO = "If it is back, the Book takes that back."
HOW = {GONE: "gone", STILL_THERE: "still there"}


@dataclass(frozen=True)
class Looked:
    """What a page knows of a fault.

    Args:
        found: What could be wrong; None when the sheet names no suspects, or when the findings contradict each other.
        plan: The best plan known; None without a quote, or when the fault is gone.
        looking: A better one is looked for.
        trouble: Why nothing can be said; empty when something can.
        firm: How firmly the next action stands, as far as that is known by now.
    """

    found: Suspected | None
    plan: Plan | None
    looking: bool
    trouble: str = ""
    firm: Firm = NOT_YET


def looked(garage: Garage, job: Job, worker: Worker | None, *, firm: bool = True) -> Looked:
    """Return what is known at once, and have the worker look for better, and for how firmly it stands where wanted."""
    try:
        found = suspected_here(garage, job)
    except Refused as refused:
        trouble = f"{refused.problems['']} The Book takes entries back."
        return Looked(None, None, looking=False, trouble=trouble)
    if found is None:
        return Looked(None, None, looking=False)
    plan = known_plan(found) or plan_of(found, budget=FIRST_ANSWER)
    if plan is None or worker is None:
        return Looked(found, plan, looking=False)
    worker.look(job.id, found, firm=firm)
    known = part("how firmly the next action stands", partial(worker.firm, found), NOT_YET)
    return Looked(found, plan, looking=worker.is_looking(job.id), firm=known)


def advice(job: Job, at: Looked) -> dict[str, Any]:
    """The one advice of Why: what to do next, what it takes and pays, and what is proved of that."""
    found, plan = at.found, at.plan
    if found is None:
        return {**NOTHING, "words": at.trouble}
    words = nothing_next(found, plan)
    if plan is None or words:
        return {**NOTHING, "words": f"{words} {NOT_SO}" if found.gone_by is not None else words}
    return {
        "what": what_words(plan.next),
        "words": next_words(plan.next),
        "first": before_words(found.before, plan.next),
        "unpriced": found.unpriced_words,
        "proved": proved_words(plan, looking=at.looking),
        "step": _link(job, _step_of(job, plan)),
    }


def ask_next(job: Job, at: Looked) -> dict[str, Any] | None:
    """The line on Now: the one advice of Why, unless its step is the one that is next."""
    told = advice(job, at)
    if not told["what"] or not job.started or at.plan is None:
        return None
    step = _step_of(job, at.plan)
    if step is not None and step is job.run.now:
        return None
    provisional = at.looking and not at.plan.settled
    return {**told, **(told["step"] or {}), "provisional": provisional, "version": version(at)}


def version(at: Looked) -> dict[str, Any]:
    """What a page that waits for a better plan asks for again and again."""
    steps = at.plan.steps if at.plan else 0
    proved = proved_words(at.plan, looking=at.looking) if at.plan else ""
    return {
        "version": f"{steps} {at.firm.words is not None:d} {at.firm.settled:d}",
        "looking": at.looking,
        "proved": proved,
    }


def _step_of(job: Job, plan: Plan) -> SheetStep | None:
    """The first step of the best next thing that is still to do; None when a step of it is the next one."""
    open_ = [step for key in plan.next.keys for step in steps_to_do(job, key)]
    if any(job.run.standing[step.id] is Standing.NOW for step in open_):
        return job.run.now
    return open_[0] if open_ else None


def _link(job: Job, step: SheetStep | None) -> dict[str, Any]:
    if step is None:
        return {}
    number = list(job.run.standing).index(step.id) + 1
    return {"number": number, "do": step.do, "href": f"/job/{job.id}/steps#step-{step.id}"}


def whole(at: Looked) -> dict[str, Any] | None:
    """The whole plan as a tree, and what to expect of it; None when the shop is all of it."""
    if at.found is None or at.plan is None or isinstance(at.plan.tree.root, End):
        return None
    return {"outlook": outlook_words(at.plan), "tree": _node(at.found, at.plan.tree.root)}


def _node(found: Suspected, node: Step) -> dict[str, Any]:
    told = [one for one in node.branches if one.then.chance > 0.0]
    seldom = [one for one in told if isinstance(one.then, End) and one.then.cut]
    words = [_shows(found, node, one) for one in seldom]
    takes = takes_words(node.price)
    return {
        "name": " + ".join(_named(found, key) for key in node.action.keys),
        "takes": "" if takes == "nothing" else takes,
        "branches": [_branch(found, node, one) for one in told if one not in seldom],
        "seldom": f"{' or '.join(words)}: seldom, planned when it comes to that" if words else "",
    }


def _branch(found: Suspected, node: Step, one: Branch) -> dict[str, Any]:
    then = one.then
    return {
        "shows": _shows(found, node, one),
        "chance": f"{max(1, round(100.0 * then.chance))} of 100",
        "end": _end(then, one.shows) if isinstance(then, End) else "",
        "then": _node(found, then) if isinstance(then, Step) else None,
    }


def _shows(found: Suspected, node: Step, one: Branch) -> str:
    shows = HOW.get(one.shows) if node.action.kind is Kind.REPAIR else None
    return shows or shows_words(found.sheet, node.action.keys[0], one.shows)


def _end(end: End, shows: str) -> str:
    if shows == GONE:
        return f"mended, after {takes_words(end.spent)}"
    return f"hand it over; together {takes_words(end.spent)}"


def _named(found: Suspected, key: str) -> str:
    problem = found.problem
    return problem.test_of[key].name if key in problem.test_of else problem.repair_of[key].name
