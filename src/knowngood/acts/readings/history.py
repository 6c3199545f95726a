"""One quantity of a vehicle over dates: its readings, where it is heading, and when it reaches its limit."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any

from knowngood import units
from knowngood.acts.distances import km_each, odometer
from knowngood.acts.job.garage import Garage
from knowngood.acts.readings.relations import own_errors
from knowngood.engine.judgement import Band, Estimate
from knowngood.engine.measurement.sizes.renewal import newest_part
from knowngood.engine.measurement.sizes.wear import Course, Dated, Wear, wear_line
from knowngood.store.moment import day_of
from knowngood.words import capital, day_words, km_words, month_words

# Ours: nearer to each other than this, two dates are told with their days. [day]
WITH_DAYS = 45


@dataclass(frozen=True)
class Read:
    """A reading of the history: its date, and 19 times out of 20 between low and high. [unit inside]

    Args:
        km: What the odometer showed then; None when that is not known of every reading. [km]
    """

    day: date
    value: float
    low: float
    high: float
    km: float | None = None


@dataclass(frozen=True)
class History:
    """One quantity over dates, or over distance where the odometer was looked at with every reading.

    Args:
        name: What was read.
        unit: That is printed; the numbers are in the unit inside.
        readings: The oldest first.
        limit: The end of what is allowed that it is heading for; None when no reading says. [unit inside]
        wear: The line; None below two dates of the part that is fitted now.
        words: What follows, for the mechanic.
        renewed: Day of the first reading of a part that looks renewed; the line begins there.
    """

    name: str
    unit: str
    readings: tuple[Read, ...]
    limit: float | None
    wear: Wear | None
    words: str
    renewed: date | None = None

    def chance_reached(self, by: date) -> float | None:
        """Chance that the limit is reached by a date; None when there is no line, or the date lies before its end.

        A line over distance is taken to be driven on as it was so far.
        """
        last = self.readings[-1] if self.readings else None
        if self.wear is None or last is None or by < last.day:
            return None
        return self.wear.chance_reached((by - last.day).days * self._each_day)

    @property
    def per(self) -> str:
        """What the line runs over: "day" or "km"."""
        return "day" if not self.readings or self.readings[-1].km is None else "km"

    @property
    def _each_day(self) -> float:
        """How far the line runs in a day: a day, or so many km as were driven so far."""
        first, last = self.readings[0], self.readings[-1]
        if first.km is None or last.km is None:
            return 1.0
        return (last.km - first.km) / (last.day - first.day).days

    def along(self, one: Read) -> float:
        """Where a reading stands, from the last one on: days, or km. [day or km]"""
        last = self.readings[-1]
        if one.km is None or last.km is None:
            return float((one.day - last.day).days)
        return one.km - last.km

    def day_at(self, along: float) -> date:
        """The day of a place along the line, driven on as it was so far."""
        return self.readings[-1].day + timedelta(days=along / self._each_day)


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
    # Two sheets may use one short name for two things.
    same = [(day, each) for day, each in kept if each["name"] == data["name"]]
    kept = [(day, each) for day, each in same if each["estimate"]["unit"] == data["estimate"]["unit"]]
    known = [own_errors(each, f"reading {place}") for place, (_, each) in enumerate(kept)]
    days, shown = [day for day, _ in kept], odometer(garage.vehicle(vehicle_id), garage.zone)
    distances = km_each(shown, days) if len(set(days)) > 1 else ()
    readings = tuple(
        Read(day, one.value, *one.interval(0.95), km)
        for day, one, km in zip(days, known, distances or [None] * len(days), strict=True)
    )
    told = History(str(data["name"]), str(data["unit"]), readings, None, None, "")
    told, why = _heading(told, known, Band.from_json(data["band"]))
    today = garage.today()
    now = shown[-1][1] - distances[-1] if distances else float((today - days[-1]).days)
    return replace(told, words=f"{_renewed_words(told)}{why or _words(told, now)}")


def _kept(garage: Garage, vehicle_id: str, what: str) -> Iterator[tuple[date, Mapping[str, Any]]]:
    """Each reading once, on the day it was taken: one attached from the toolbox was taken before that."""
    seen: set[str] = set()
    for job in garage.jobs_of(vehicle_id).values():
        attached = {event.id: event.data["reading"] for event in job.state.attached}
        for event in job.state.counting:
            taken = (garage.store.event(attached[event.id]) or event) if event.id in attached else event
            if what in (event.data["limit"], event.data["name"]) and taken.id not in seen:
                seen.add(taken.id)
                yield day_of(taken.happened, garage.zone), event.data


def _heading(told: History, known: list[Estimate], band: Band) -> tuple[History, str]:
    """With the line to the end that it is heading for; or why there is none, in words."""
    dated = [Dated(told.along(read), one) for read, one in zip(told.readings, known, strict=True)]
    ends = [(end, lowest) for end, lowest in ((band.lower, True), (band.upper, False)) if end is not None]
    starts = [newest_part(dated, limit=end, lowest=lowest) for end, lowest in ends]
    start = min(starts)  # wear goes one way for long, and the other way once, when the part is renewed
    ends = [end for end, one in zip(ends, starts, strict=True) if one == start]
    told = replace(told, limit=ends[0][0], renewed=told.readings[start].day if start else None)
    try:
        lines = [(end, wear_line(dated[start:], limit=end, lowest=lowest, per=told.per)) for end, lowest in ends]
    except ValueError as refused:
        return told, capital(str(refused))
    limit, wear = max(lines, key=lambda one: (one[1].course is Course.PAST, one[1].toward))
    return replace(told, limit=limit, wear=wear), ""


def _renewed_words(told: History) -> str:
    if told.renewed is None:
        return ""
    return f"It looks renewed, as read on {day_words(told.renewed)}: the line starts anew there. "


def _words(told: History, now: float) -> str:
    """When it reaches its limit, or why that cannot be said; `now` lies so far from the last reading. [day or km]"""
    wear = told.wear
    assert wear is not None  # without a line the reason is told instead
    assert told.limit is not None
    end = units.show(told.limit, told.unit)
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
            earliest = _far(told, wear.reached.quantile(0.1))
            return f"Not down to a date yet: it does not reach {end} before {earliest} (9 times out of 10)."
        case Course.DATED:
            return _dated(told, wear, end, now)


def _dated(told: History, wear: Wear, end: str, now: float) -> str:
    first, latest = (wear.reached.quantile(level) for level in (0.1, 0.9))
    if int(latest) <= now:
        return f"By now it has reached {end} (9 times out of 10). Read it again before it is relied on."
    if int(first) <= now:
        by = _far(told, latest, days=latest - now <= WITH_DAYS)
        return f"It reaches {end} by {by} (9 times out of 10), and may have done so already. Read it again."
    days = _between(told.day_at(first), told.day_at(latest))
    if told.per == "day":
        return f"It reaches {end} {days} (4 times out of 5)."
    low, high = _far(told, first).removesuffix(" km"), _far(told, latest)
    return f"It reaches {end} between {low} and {high} (4 times out of 5); driven on as so far, {days}."


def _far(told: History, along: float, *, days: bool = False) -> str:
    """A place along the line: what the odometer shows there, or its month, or its day."""
    km = told.readings[-1].km
    if km is None:
        return (day_words if days else _month)(told.day_at(along))
    return km_words(round(km + along, -2))


def _between(first: date, latest: date) -> str:
    """Two months, or two days when they are near; the year once when it is one.

    Example:
        >>> _between(date(2027, 3, 9), date(2027, 7, 1)), _between(date(2026, 12, 28), date(2027, 1, 4))
        ('between March and July 2027', 'between 28 December 2026 and 4 January 2027')
    """
    if first == latest:
        return f"on {day_words(first)}"
    say = _month if (latest - first).days > WITH_DAYS else day_words
    begins = say(first).removesuffix(f" {first.year}") if first.year == latest.year else say(first)
    return f"between {begins} and {say(latest)}"


def _month(day: date) -> str:
    return month_words(day)
