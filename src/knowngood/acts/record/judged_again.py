"""Judge a reading again: the same words by what holds now. What was told before stays in the record."""

from dataclasses import replace

from knowngood.acts.faults.checked_again import checked_repair
from knowngood.acts.job.garage import Garage, Job
from knowngood.acts.job.opened_again import refuse_work
from knowngood.acts.job.revised import why_again
from knowngood.acts.readings.gated import NOT_SAFETY
from knowngood.acts.record.entries import Draft, Entry
from knowngood.acts.record.reading import reading_data
from knowngood.refusal import Refused
from knowngood.store.event import Event
from knowngood.store.states import OF_READING, first_judged

GONE = "That reading is not in this job any more. Reload the page, and look under Readings."


def judged_again(garage: Garage, entry: Entry) -> list[Draft]:
    """Judge what was read once more; nothing where all holds that it was judged by.

    The entry's `again` is the id of a reading, by its first judgement or by a later one.

    Raises:
        Refused: There is no such reading, the job is finished, or what was typed cannot be judged by what holds now.
    """
    job = garage.job(entry.of)
    reading = reading_of(job, entry.text("again"))
    refuse_work(job)
    if not why_again(garage, job, reading):
        return []
    first, name = first_judged(reading), reading.data["limit"]
    beside = {name: reading.data[name] for name in (NOT_SAFETY,) if name in reading.data}
    typed = {**reading.data["typed"], **beside, "name": reading.data["name"], "step": reading.data.get("step") or ""}
    data = reading_data(
        garage,
        replace(entry, id=first, fields=typed),
        limit=job.sheet.limits.get(name or ""),
        checks_repair=name is not None and checked_repair(job, reading),
    )
    return [Draft("reading_judged", {**data, "limit": name, OF_READING: first})]


def reading_of(job: Job, event_id: str) -> Event:
    """Return a reading of a job by the id of any of its judgements, as it counts now.

    Raises:
        Refused: The job has none of that id that was judged in it.
    """
    told = next((one for one in job.readings if one.id == event_id and one.kind == "reading_judged"), None)
    first = told and first_judged(told)
    found = (one for one in job.state.counting if first_judged(one) == first)
    if first is None or (reading := next(found, None)) is None:
        raise Refused({"": GONE})
    return reading
