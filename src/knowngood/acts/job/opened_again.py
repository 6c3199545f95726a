"""A finished job is opened again as a whole: none of its work is taken back, or goes on, behind its end."""

from collections.abc import Collection

from knowngood.acts.job.garage import Job
from knowngood.refusal import Refused

# What the run hangs on: taken back alone, it would leave a finished job half open.
WORK = (
    "started", "planned", "sheet_revised", "step_done", "step_put_off", "decided", "reading_judged", "reading_attached",
)  # fmt: skip
FINISHED = 'This job is finished. Press "Open it again" on Now or in the Book first: then all of it is open.'


def refuse_work(job: Job) -> None:
    """Refuse what would go on with a finished job."""
    if job.state.finished:
        raise Refused({"": FINISHED})


def refuse_half_open(job: Job, targets: Collection[str]) -> None:
    """Refuse to take back what the run of a finished job hangs on, unless its end is taken back too."""
    if job.state.finished and job.state.finished.id not in targets and set(targets) & holding(job):
        raise Refused({"": FINISHED})


def holding(job: Job) -> set[str]:
    """Return the ids of what a job's run hangs on."""
    return {event.id for event in job.state.kept(*WORK)}
