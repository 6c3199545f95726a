"""What is kept an eye on: until when or what, whether it is due, and what it takes along when it comes back."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from knowngood.acts.job.garage import Garage, Job
from knowngood.refusal import Refused
from knowngood.store.event import Event

# What brings a watch back; free words may stand beside it.
ON = {"code": "the code returns", "symptom": "it shows again"}
FAULT_RETURNS = ON["symptom"]
NEXT_TIME = "next time the bonnet is open"


@dataclass(frozen=True)
class Watch:
    """One thing to keep an eye on.

    Args:
        event: Id of the event that opened it.
        job: Id of its job.
        what: To keep an eye on.
        until: In words.
        due: Why it is time to look, in words; empty while it is not.
        closed: What came of it; None while it is open.
    """

    event: str
    job: str
    what: str
    until: str
    due: str = ""
    closed: str | None = None


def watches_of(job: Job, today: date | None = None) -> list[Watch]:
    """Return what a job keeps an eye on, oldest first, those that are closed too.

    Args:
        job: Whose.
        today: For what is due by a day; None leaves that out, as paper does.
    """
    closed = {event.data["watch"]: event.data["words"] for event in job.state.kept("watch_closed")}
    opened = [watch_of(job.id, event.id, event.data, job.vehicle.odometer_km, today) for event in job.state.watches]
    return [replace(one, due="", closed=closed[one.event]) if one.event in closed else one for one in opened]


def watch_of(job: str, event: str, data: Mapping[str, Any], seen_km: float | None, today: date | None) -> Watch:
    """Return what is kept an eye on, with why it is time to look.

    Args:
        job: Id of the job.
        event: Id of the event that opened it.
        data: What that event says.
        seen_km: What the odometer of the vehicle showed last. [km]
        today: For what is due by a day; None leaves that out.
    """
    return Watch(event, job, data["what"], data["until"], _due(data, seen_km, today))


def watch_words(one: Watch) -> str:
    """Return a watch in one line."""
    ends = f"; {one.closed}" if one.closed is not None else f". Due: {one.due}" if one.due else ""
    return f"{one.what}, until {one.until}{ends}"


def _due(data: Mapping[str, Any], seen_km: float | None, today: date | None) -> str:
    """Why it is time to look; what a code or a symptom brings back only the person can see."""
    if today and data.get("date") and date.fromisoformat(data["date"]) <= today:
        return "its day has come"
    km, begun = data.get("km"), data.get("from_km")
    if km is not None and begun is not None and seen_km is not None and seen_km >= begun + km:
        return f"{km:g} km are driven"
    return ""


# --- it is back -------------------------------------------------------------------------------------------------------


def came_back(garage: Garage, named: str) -> tuple[Job, Event]:
    """Return the job and the watch that a new job is opened from.

    Args:
        garage: Where both are.
        named: The job's id, a slash, and the id of the event that opened the watch.

    Raises:
        Refused: There is none.
    """
    job_id, _, event_id = named.partition("/")
    job = garage.job(job_id)
    found = next((event for event in job.state.watches if event.id == event_id), None)
    if found is None:
        raise Refused({"": "That is not kept an eye on any more. Reload the page."})
    return job, found


def jobs_before(garage: Garage, job: Job) -> list[Job]:
    """Return the jobs whose fault came back with this one, oldest first: what was found in them is still evidence."""
    before = job.opened.get("from")
    if not before or garage.index.job(before["job"]) is None:
        return []
    old = garage.job(before["job"])
    return [*jobs_before(garage, old), old]
