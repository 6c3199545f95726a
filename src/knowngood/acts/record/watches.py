"""Entries that open and close a watch."""

import re
from collections.abc import Mapping
from datetime import date
from typing import Any

from knowngood import units
from knowngood.acts.faults.watches import NEXT_TIME, ON
from knowngood.acts.job.garage import Garage, Job
from knowngood.acts.record.entries import Draft, Entry
from knowngood.refusal import Refused, parsed
from knowngood.words import day_words, km_words

DISTANCE = re.compile(r"\s*[\d.,]+\s*(km|mi|miles?)\s*", re.IGNORECASE)


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
