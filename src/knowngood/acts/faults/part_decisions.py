"""What was weighed and decided about a doubtful part: kept with the advice, so that the book has both."""

from typing import Any

from knowngood.acts.faults.cover_decision import Weighed, weigh
from knowngood.acts.faults.doubtful_parts import LEAVE, RENEW, Doubtful, doubtful_part
from knowngood.acts.faults.known_part import known_of, parts_of
from knowngood.acts.faults.part_typed import FIELDS, still_read
from knowngood.acts.faults.watches import FAULT_RETURNS, watch_data
from knowngood.acts.job.garage import Garage, Job
from knowngood.acts.record.entries import Draft, Entry
from knowngood.engine.troubleshooting.worth.cover_decision import Option
from knowngood.gate import CAUTIONS, HANDED_OVER
from knowngood.refusal import Refused

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


def part_weighed(garage: Garage, entry: Entry) -> list[Draft]:
    """What was typed about a doubtful part; weighing it once shows whether it can be used."""
    job = garage.job(entry.of)
    part = doubtful_part(parts_of(garage, job), entry.needed("about", "which part"))
    typed = {name: words for name in FIELDS if (words := entry.text(name))}
    weigh(known_of(garage, job, part), typed)
    return [Draft("part_weighed", {"about": part.key, "name": part.name, "typed": typed})]


def decided_part(garage: Garage, job: Job, entry: Entry) -> list[Draft]:
    """A decision about a part that no step decides about.

    Raises:
        Refused: No such part or choice, or a safety part that would be watched.
    """
    part = doubtful_part(parts_of(garage, job), entry.needed("decision", "which part"))
    choice = entry.needed("choice", "what you decide")
    if choice not in CHOICES:
        raise Refused({"choice": f'"{choice}" is no choice here. Take {" or ".join(CHOICES)}.'})
    if part.handed_over and part.kind is not None and CHOICES[choice] is Option.REPLACE:
        raise Refused({"choice": f"{CAUTIONS[part.kind]} {HANDED_OVER[part.kind]}. Choose to hand it over."})
    told = advice_of(garage, job, part, choice)
    data = {"decision": part.key, "choice": choice, "why": entry.text("why"), "name": part.name, **told}
    return [Draft("decided", data), *watched(garage, job, part, choice, entry)]


def advice_of(garage: Garage, job: Job, part: Doubtful, choice: str) -> dict[str, Any]:
    """Return the advice that stands beside a choice, for its event.

    Raises:
        Refused: A safety part that would be left in and watched.
    """
    option = option_of(choice)
    if part.kind is not None and option in (Option.WATCH, Option.TEST):
        raise Refused({"choice": f"{weighed(garage, job, part).sentence} Choose one of these two."})
    told = weighed(garage, job, part)
    return {"advice": told.advice.value, "advice_words": told.sentence}


def watched(garage: Garage, job: Job, part: Doubtful, choice: str, entry: Entry) -> list[Draft]:
    """What is closed and watched is an item, with what brings it back."""
    if option_of(choice) is not Option.WATCH:
        return []
    fields = {**entry.fields, "what": entry.text("what") or part.name}
    fields["until"] = entry.text("until") or part.watch or FAULT_RETURNS
    return [Draft("watch_opened", {**watch_data(garage, job, fields), "about": part.suspect})]


def _licensed(job: Job, part: Doubtful) -> bool:
    """Renewing it takes a licence."""
    repair = job.sheet.repairs.get(part.key)
    return any(job.sheet.step(one).licensed for one in (repair.step if repair else ()))
