"""What must come before a test or a repair that is advised while it cannot be done yet."""

from collections.abc import Iterable, Mapping

from knowngood.acts.garage import Job
from knowngood.acts.run import Standing, action, blocked_by
from knowngood.engine.planning.order import missing, replay
from knowngood.sheet.model import Step

TO_DO = (Standing.NOW, Standing.LATER)
PASSED = (Standing.DONE, Standing.RULED_OUT)


def steps_to_do(job: Job, key: str) -> list[Step]:
    """Return the steps of a test or a repair that are still to do, in its order; none where it has no step."""
    test, repair = job.sheet.tests.get(key), job.sheet.repairs.get(key)
    steps = test.step if test else repair.step if repair else ()
    return [job.sheet.step(each) for each in steps if job.run.standing.get(each, Standing.DONE) not in PASSED]


def before_of(job: Job) -> Mapping[str, str]:
    """Return what comes before each test and repair that cannot be done now, in words, by its key."""
    if not job.started:
        return {}
    found = {}
    for key in (*job.sheet.tests, *job.sheet.repairs):
        steps = steps_to_do(job, key)
        if steps and all(job.run.standing[step.id] is not Standing.NOW for step in steps):
            found[key] = _before(job, steps[0])
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
