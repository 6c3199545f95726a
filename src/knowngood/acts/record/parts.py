"""Entries about a doubtful part: weighed, and decided with the advice beside the choice."""

from typing import Any

from knowngood.acts.faults.cover_decision import weigh
from knowngood.acts.faults.doubtful_parts import Doubtful, doubtful_part
from knowngood.acts.faults.known_part import known_of, parts_of
from knowngood.acts.faults.part_decisions import CHOICES, option_of, weighed
from knowngood.acts.faults.part_typed import FIELDS
from knowngood.acts.faults.watches import FAULT_RETURNS
from knowngood.acts.job.garage import Garage, Job
from knowngood.acts.record.entries import Draft, Entry
from knowngood.acts.record.watches import watch_data
from knowngood.engine.troubleshooting.worth.cover_decision import Option
from knowngood.gate import CAUTIONS, HANDED_OVER
from knowngood.refusal import Refused


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
