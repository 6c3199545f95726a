"""What was weighed and decided about a doubtful part: kept with the advice, so that the book has both."""

from knowngood.acts.faults.cover_decision import Weighed, weigh
from knowngood.acts.faults.doubtful_parts import LEAVE, RENEW, Doubtful
from knowngood.acts.faults.known_part import known_of
from knowngood.acts.faults.part_typed import still_read
from knowngood.acts.job.garage import Garage, Job
from knowngood.engine.troubleshooting.worth.cover_decision import Option

# What is chosen about a part that no step decides about; at a step the sheet has its own choices.
CHOICES = {
    "replace": Option.REPLACE,
    "test": Option.TEST,
    "watch": Option.WATCH,
    "hand_over": Option.HAND_OVER,
}
AT_STEP = {RENEW: Option.REPLACE, LEAVE: Option.WATCH}


def typed_of(job: Job, key: str) -> dict[str, str]:
    """Return what was typed last about a doubtful part, by field."""
    event = job.state.newest("part_weighed", "about").get(key)
    return still_read(event.data["typed"]) if event else {}


def weighed(garage: Garage, job: Job, part: Doubtful) -> Weighed:
    """Return what to do about a part of a job, with what was typed last."""
    return weigh(known_of(garage, job, part), typed_of(job, part.key), own_work=not _licensed(job, part))


def option_of(choice: str) -> Option | None:
    """Return the option that a choice stands for; None for a choice of the sheet's own."""
    return CHOICES.get(choice) or AT_STEP.get(choice)


def choice_for(option: Option, part: Doubtful) -> str:
    """Return the choice that an option stands for; empty when the step has no such choice."""
    if part.decide is None:
        return next(key for key, one in CHOICES.items() if one is option)
    return next((key for key, one in AT_STEP.items() if one is option and key in part.decide.choices), "")


def _licensed(job: Job, part: Doubtful) -> bool:
    """Renewing it takes a licence."""
    repair = job.sheet.repairs.get(part.key)
    return any(job.sheet.step(one).licensed for one in (repair.step if repair else ()))
