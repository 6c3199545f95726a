"""What must come before a test or a repair that is advised: steps that are still to do, or a word of what it showed."""

from collections.abc import Iterable, Mapping, Sequence

from knowngood.acts.job.garage import Job
from knowngood.acts.job.run import Standing, action, blocked_by
from knowngood.engine.planning.order import missing, replay
from knowngood.sheet.model import Step

TO_DO = (Standing.NOW, Standing.LATER)
PASSED = (Standing.DONE, Standing.RULED_OUT)
SHOWED = "Its step is done: say what it showed."
HELPED = "Its step is done: say whether the fault is gone."


def steps_to_do(job: Job, key: str) -> list[Step]:
    """Return the steps of a test or a repair that are still to do, in its order; none where it has no step."""
    return [
        job.sheet.step(each) for each in _steps(job, key) if job.run.standing.get(each, Standing.DONE) not in PASSED
    ]


def _steps(job: Job, key: str) -> Sequence[str]:
    test, repair = job.sheet.tests.get(key), job.sheet.repairs.get(key)
    return test.step if test else repair.step if repair else ()


def before_of(job: Job) -> Mapping[str, str]:
    """Return what comes before each test and repair, in words, by its key; none where it can be done right now.

    One whose steps are all done waits for a word of what it showed.
    """
    if not job.started:
        return {}
    found = {}
    for key in (*job.sheet.tests, *job.sheet.repairs):
        steps = steps_to_do(job, key)
        if steps and all(job.run.standing[step.id] is not Standing.NOW for step in steps):
            found[key] = _before(job, steps[0])
        elif all(job.run.standing.get(one) is Standing.DONE for one in _steps(job, key)) and _steps(job, key):
            found[key] = SHOWED if key in job.sheet.tests else HELPED
    return {key: words for key, words in found.items() if words}


def _before(job: Job, step: Step) -> str:
    """What the plan does first; empty where all that the step needs holds already."""
    done = {one for one, how in job.run.standing.items() if how is Standing.DONE}
    if not missing(action(step), job.run.facts, done):
        return ""
    order = list(job.run.standing)
    first = [one for one in order[: order.index(step.id)] if job.run.standing[one] in TO_DO]
    if not first or missing(action(step), _after(job, first), {*done, *first}):
        return f"It cannot be done as things stand: {', '.join(blocked_by(job.run, step))}."
    named = job.sheet.step(first[0]).do
    more = f", and {len(first) - 1} more" if len(first) > 1 else ""
    return f"First comes step {order.index(first[0]) + 1}, “{named}”{more}."


def _after(job: Job, steps: Iterable[str]) -> frozenset[str]:
    return replay(job.run.facts, [job.run.action_of(one) for one in steps])
