"""How far a vehicle had gone when something was read."""

from datetime import UTC, date

import pytest

from knowngood.acts.distances import day_of, km_each, km_on, odometer
from knowngood.store.event import Event
from knowngood.store.folds import VehicleState, fold_vehicle

LOOKED = ((date(2026, 3, 1), 150_000.0), (date(2026, 3, 9), 150_400.0), (date(2026, 9, 1), 158_000.0))


def described(number, happened, **data):
    return Event.new(id=f"{number:032x}", stream="vehicle/a", kind="described", device="", device_seq=0,
                     happened=happened, recorded="", data=data)  # fmt: skip


def test_each_look_at_the_odometer_is_known_by_its_day():
    state = fold_vehicle(VehicleState(), [
        described(1, "2026-09-01T23:30:00-02:00", odometer_km=158_000.0),
        described(2, "2026-03-01T10:00:00", odometer_km=150_000.0),
        described(3, "2026-04-01T10:00:00", text="estate"),
    ])  # fmt: skip
    assert odometer(state, UTC) == ((date(2026, 3, 1), 150_000.0), (date(2026, 9, 2), 158_000.0))
    assert day_of("2026-09-01T23:30:00-02:00", UTC) == date(2026, 9, 2)


@pytest.mark.parametrize(
    ("day", "km"),
    [
        (date(2026, 3, 1), 150_000.0),
        (date(2026, 3, 7), 150_400.0),
        (date(2026, 2, 22), 150_000.0),
        (date(2026, 2, 21), None),
        (date(2026, 3, 17), None),
    ],
)
def test_the_nearest_look_within_a_week_counts(day, km):
    assert km_on(LOOKED, day) == km


def test_all_or_none():
    march, june, september = date(2026, 3, 1), date(2026, 6, 1), date(2026, 9, 1)
    assert km_each(LOOKED, [march, september]) == (150_000.0, 158_000.0)
    assert km_each(LOOKED, [march, march, september]) == (150_000.0, 150_000.0, 158_000.0)
    assert km_each(LOOKED, [march, june, september]) == ()


def test_an_odometer_that_does_not_grow_says_no_distance():
    back = ((date(2026, 3, 1), 150_000.0), (date(2026, 9, 1), 149_000.0))
    assert km_each(back, [date(2026, 3, 1), date(2026, 9, 1)]) == ()
