"""One quantity of a vehicle over dates: its readings, where it is heading, and when it reaches its limit."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import Any

from knowngood import units
from knowngood.acts.garage import Garage
from knowngood.acts.relations import own_errors
from knowngood.engine.judgement import Band, Estimate
from knowngood.engine.measurement.wear import Course, Dated, Wear, wear_line

# Ours: nearer to each other than this, two dates are told with their days. [day]
WITH_DAYS = 45


@dataclass(frozen=True)
class Read:
    """A reading of the history: its date, and 19 times out of 20 between low and high. [unit inside]"""

    day: date
    value: float
    low: float
    high: float


@dataclass(frozen=True)
class History:
    """One quantity over dates.

    Args:
        name: What was read.
        unit: That is printed; the numbers are in the unit inside.
        readings: The oldest first.
        limit: The end of what is allowed that it is heading for; None when no reading says. [unit inside]
        wear: The line; None below two dates.
        words: What follows, for the mechanic.
    """

    name: str
    unit: str
    readings: tuple[Read, ...]
    limit: float | None
    wear: Wear | None
    words: str

    def chance_reached(self, by: date) -> float | None:
        """Chance that the limit is reached by a date; None when there is no line, or the date lies before its end."""
        if self.wear is None or by < self.readings[-1].day:
            return None
        return self.wear.chance_reached(float((by - self.readings[-1].day).days))


def history(garage: Garage, vehicle_id: str, what: str) -> History:
    """Return one quantity over all jobs of a vehicle.

    Args:
        garage: With its clock, for what lies ahead.
        vehicle_id: Whose.
        what: Id of a limit in the sheets, or the name of what was read.
    """
    kept = sorted(_kept(garage, vehicle_id, what), key=lambda one: one[0])
    if not kept:
        return History(what, "", (), None, None, "There is no reading of it yet.")
    data = kept[-1][1]
    kept = [(day, each) for day, each in kept if each["estimate"]["unit"] == data["estimate"]["unit"]]
    known = [(day, own_errors(each, f"reading {place}")) for place, (day, each) in enumerate(kept)]
    readings = tuple(Read(day, one.value, *one.interval(0.95)) for day, one in known)
    limit, wear, why = _heading(known, Band.from_json(data["band"]))
    words = why or _words(wear, limit, data["unit"], readings[-1].day, garage.clock().astimezone(UTC).date())
    return History(str(data["name"]), str(data["unit"]), readings, limit, wear, words)


def _kept(garage: Garage, vehicle_id: str, what: str) -> Iterator[tuple[date, Mapping[str, Any]]]:
    """Each reading once, on the day it was taken: one attached from the toolbox was taken before that."""
    seen: set[str] = set()
    for job in garage.jobs().values():
        if job.vehicle_id != vehicle_id:
            continue
        for event in job.state.kept("reading_judged", "reading_attached"):
            attached = event.kind == "reading_attached"
            taken = (garage.store.event(event.data["reading"]) or event) if attached else event
            data = event.data["data"] if attached else event.data
            if what in (event.data["limit"], data["name"]) and taken.id not in seen:
                seen.add(taken.id)
                yield _day(taken.happened), data


def _day(happened: str) -> date:
    moment = datetime.fromisoformat(happened)
    return (moment if moment.tzinfo else moment.replace(tzinfo=UTC)).astimezone(UTC).date()


def _heading(known: list[tuple[date, Estimate]], band: Band) -> tuple[float, Wear | None, str]:
    """The line to the end that it is heading for; or why there is none, in words."""
    dated = [Dated(float(day.toordinal()), one) for day, one in known]
    ends = [(end, lowest) for end, lowest in ((band.lower, True), (band.upper, False)) if end is not None]
    try:
        lines = [(end, wear_line(dated, limit=end, lowest=lowest)) for end, lowest in ends]
    except ValueError as refused:
        why = str(refused)
        return ends[0][0], None, why[0].upper() + why[1:]
    limit, wear = max(lines, key=lambda one: (one[1].course is Course.PAST, one[1].toward))
    return limit, wear, ""


def _words(wear: Wear | None, limit: float, unit: str, last: date, today: date) -> str:
    """When it reaches its limit, or why that cannot be said."""
    assert wear is not None  # without a line the reason is told instead
    end = units.show(limit, unit)
    match wear.course:
        case Course.PAST:
            return f"It is past {end} as last read."
        case Course.AGREE:
            return "No date can be given: the readings agree within their doubt. Read it again later."
        case Course.AWAY:
            return (
                f"No date can be given: it reads further from {end} than before. "
                "Was it renewed, or read at another place?"
            )
        case Course.SLOW:
            earliest = _month(last + timedelta(days=wear.reached.quantile(0.1)))
            return f"Not down to a date yet: it does not reach {end} before {earliest} (9 times out of 10)."
        case Course.DATED:
            return _dated(wear, end, last, today)


def _dated(wear: Wear, end: str, last: date, today: date) -> str:
    first, latest = (last + timedelta(days=wear.reached.quantile(level)) for level in (0.1, 0.9))
    if latest <= today:
        return f"By now it has reached {end} (9 times out of 10). Read it again before it is relied on."
    if first <= today:
        by = _month(latest) if (latest - today).days > WITH_DAYS else _exact(latest)
        return f"It reaches {end} by {by} (9 times out of 10), and may have done so already. Read it again."
    return f"It reaches {end} {_between(first, latest)} (4 times out of 5)."


def _between(first: date, latest: date) -> str:
    """Two months, or two days when they are near; the year once when it is one.

    Example:
        >>> _between(date(2027, 3, 9), date(2027, 7, 1)), _between(date(2026, 12, 28), date(2027, 1, 4))
        ('between March and July 2027', 'between 28 December 2026 and 4 January 2027')
    """
    if first == latest:
        return f"on {_exact(first)}"
    say = _month if (latest - first).days > WITH_DAYS else _exact
    begins = say(first).removesuffix(f" {first.year}") if first.year == latest.year else say(first)
    return f"between {begins} and {say(latest)}"


def _month(day: date) -> str:
    return f"{day:%B %Y}"


def _exact(day: date) -> str:
    return f"{day.day} {day:%B %Y}"
