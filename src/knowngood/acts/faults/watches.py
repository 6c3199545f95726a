"""What is kept an eye on: until when or what, whether it is due, and what it takes along when it comes back."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from knowngood import units
from knowngood.acts.job.garage import Garage, Job
from knowngood.acts.record.entries import Draft, Entry
from knowngood.refusal import Refused, parsed
from knowngood.store.event import Event
from knowngood.words import day_words, km_words

# What brings a watch back; free words may stand beside it.
ON = {"code": "the code returns", "symptom": "it shows again"}
FAULT_RETURNS = ON["symptom"]
NEXT_TIME = "next time the bonnet is open"
DISTANCE = re.compile(r"\s*[\d.,]+\s*(km|mi|miles?)\s*", re.IGNORECASE)


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
    return [
        Watch(
            event.id,
            job.id,
            event.data["what"],
            event.data["until"],
            "" if event.id in closed else _due(job, event.data, today),
            closed.get(event.id),
        )
        for event in job.state.watches
    ]


def watch_words(one: Watch) -> str:
    """Return a watch in one line."""
    ends = f"; {one.closed}" if one.closed is not None else f". Due: {one.due}" if one.due else ""
    return f"{one.what}, until {one.until}{ends}"


def watch_opened(garage: Garage, entry: Entry) -> list[Draft]:
    """An entry that opens a watch."""
    entry.needed("what", "what to keep an eye on")
    return [Draft("watch_opened", watch_data(garage, garage.job(entry.of), entry.fields))]


def watch_closed(garage: Garage, entry: Entry) -> list[Draft]:
    """An entry that ends one: looked at, and nothing more to watch."""
    job, wanted = garage.job(entry.of), entry.needed("watch", "which one")
    if wanted not in [event.id for event in job.state.watches]:
        raise Refused({"": "That is not kept an eye on any more. Reload the page."})
    return [Draft("watch_closed", {"watch": wanted, "words": entry.text("words") or "looked at, nothing found"})]


def watch_data(garage: Garage, job: Job, fields: Mapping[str, str]) -> dict[str, Any]:
    """Return what a watch keeps of what was typed.

    Args:
        garage: With its clock.
        job: Whose vehicle's odometer counts.
        fields: `what`; `until` in words, which may be a distance; `until_km`, `until_date`, and `on`: code or symptom.

    Raises:
        Refused: A distance, a date or a condition that cannot be used.
    """
    typed = {name: fields.get(name, "").strip() for name in ("what", "until", "until_km", "until_date", "on")}
    if DISTANCE.fullmatch(typed["until"]) and not typed["until_km"]:
        typed["until_km"], typed["until"] = typed["until"], ""
    km, day = _km(typed["until_km"]), _date(typed["until_date"], garage.today())
    if typed["on"] and typed["on"] not in ON:
        raise Refused({"on": f'"{typed["on"]}" is nothing that brings it back. Take {" or ".join(ON)}.'})
    seen = job.vehicle.odometer_km
    rows = [typed["until"], _km_words(km, seen), day_words(day) if day else "", ON.get(typed["on"], "")]
    until = ", or ".join(dict.fromkeys(one for one in rows if one)) or NEXT_TIME
    return {
        "what": typed["what"],
        "until": until,
        "km": km,
        "from_km": seen,
        "date": day.isoformat() if day else None,
        "on": typed["on"] or None,
    }


def _km(text: str) -> float | None:
    if not text:
        return None
    km = parsed("until_km", lambda: units.quantity(units.completed(text, "km"), units.Kind.DISTANCE, unit="km").value)
    if not km > 0.0:
        raise Refused({"until_km": f'"{text}" is no distance to drive. Write such as 500 km.'})
    return km


def _date(text: str, today: date) -> date | None:
    if not text:
        return None
    try:
        day = date.fromisoformat(text)
    except ValueError:
        example = today.isoformat()
        raise Refused({"until_date": f'"{text}" is no date. Write year, month and day, such as {example}.'}) from None
    if day < today:
        raise Refused({"until_date": f'"{text}" is past. Write a day to come, such as {today.isoformat()}.'})
    return day


def _km_words(km: float | None, seen: float | None) -> str:
    if km is None:
        return ""
    at = f" (at {km_words(seen + km)})" if seen is not None else ""
    return f"{km:g} km more{at}"


def _due(job: Job, data: Mapping[str, Any], today: date | None) -> str:
    """Why it is time to look; what a code or a symptom brings back only the person can see."""
    if today and data.get("date") and date.fromisoformat(data["date"]) <= today:
        return "its day has come"
    km, begun, now = data.get("km"), data.get("from_km"), job.vehicle.odometer_km
    if km is not None and begun is not None and now is not None and now >= begun + km:
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
    if not before or before["job"] not in garage.jobs():
        return []
    old = garage.job(before["job"])
    return [*jobs_before(garage, old), old]
