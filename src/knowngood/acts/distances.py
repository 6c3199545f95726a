"""How far a vehicle had gone on a day, by what its odometer was seen to show."""

from collections.abc import Sequence
from datetime import date, tzinfo

from knowngood.store.folds import VehicleState
from knowngood.store.moment import day_of

# Ours: so near to each other, a reading and a look at the odometer are of one distance. [day]
NEAR_DAYS = 7

Shown = tuple[date, float]


def odometer(vehicle: VehicleState, zone: tzinfo | None) -> tuple[Shown, ...]:
    """What the odometer was seen to show, by day. [km]"""
    seen = ((day_of(event.happened, zone), event.data.get("odometer_km")) for event in vehicle.kept("described"))
    return tuple(sorted((day, float(km)) for day, km in seen if km is not None))


def km_on(shown: Sequence[Shown], day: date) -> float | None:
    """What the odometer showed within a week of a day, the nearest look; None when nobody looked. [km]

    Example:
        >>> looked = ((date(2026, 3, 1), 150000.0), (date(2026, 9, 1), 158000.0))
        >>> km_on(looked, date(2026, 9, 5)), km_on(looked, date(2026, 6, 1))
        (158000.0, None)
    """
    near = [(abs((day - seen).days), km) for seen, km in shown if abs((day - seen).days) <= NEAR_DAYS]
    return min(near)[1] if near else None


def km_each(shown: Sequence[Shown], days: Sequence[date]) -> tuple[float, ...]:
    """The distance on each of some days, in order of time; none at all unless it is known of each and grows. [km]

    Example:
        >>> km_each(((date(2026, 3, 1), 150000.0),), [date(2026, 3, 1), date(2026, 9, 1)])
        ()
    """
    found = [km_on(shown, day) for day in days]
    known = tuple(km for km in found if km is not None)
    steps = zip(days, days[1:], known, known[1:], strict=False)
    grows = all(later > km or day == next_day for day, next_day, km, later in steps)
    return known if len(known) == len(days) and grows else ()
