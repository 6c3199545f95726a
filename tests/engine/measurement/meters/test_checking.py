"""An instrument in the cold, at one reading, and held against a known value."""

import math

import pytest

from knowngood.engine.measurement.meters.checking import (
    allowed_error,
    at_temperature,
    far_from_zero,
    outside_class,
    resolved,
)
from knowngood.engine.measurement.meters.instruments import Meter
from knowngood.engine.measurement.readings.plain import plain_quantity

BLUE = Meter("blue", 0.8, 3, 0.1)
GUN = Meter("gun", 2.0, 0, 0.1, 2.0, greater=True)


# A tenth of the line more for each °C outside 23 ± 5 °C: common practice, no source.
@pytest.mark.parametrize(("ambient_c", "times"), [(23, 1), (18, 1), (28, 1), (8, 2), (-2, 3), (38, 2), (17, 1.1)])
def test_cold_and_heat_widen_the_line(ambient_c, times):
    found = at_temperature(Meter("m", 0.8, 3, 0.1, 0.2), ambient_c)
    assert (found.percent, found.digits, found.offset) == pytest.approx((0.8 * times, 3 * times, 0.2 * times))
    assert found.step == 0.1


@pytest.mark.parametrize("ambient_c", [-61.0, 81.0, math.nan])
def test_no_place_is_that_cold(ambient_c):
    with pytest.raises(ValueError, match="is none where a meter works") as refused:
        at_temperature(BLUE, ambient_c)
    assert str(refused.value) == (
        f"a place at {ambient_c:g} °C is none where a meter works; -60 to 80 °C is allowed. "
        "Write the temperature of the air around it."
    )


def test_the_greater_of_two_parts_never_counts_less_than_it_allows():
    for at in (-30.0, 0.0, 40.0, 99.0, 101.0, 300.0):
        assert allowed_error(GUN, at) == pytest.approx(max(2.0, 0.02 * abs(at)))
        assert allowed_error(resolved(GUN, at), at) == allowed_error(GUN, at)
    assert resolved(BLUE, 5.0) is BLUE
    # not resolved, both parts count: wider, never narrower
    assert plain_quantity([40.0], unit="°C", meter=GUN).standard_uncertainty > (
        plain_quantity([40.0], unit="°C", meter=resolved(GUN, 40.0)).standard_uncertainty
    )


@pytest.mark.parametrize(("shown", "outside"), [(101.1, False), (101.3, True), (98.9, False), (98.7, True)])
def test_outside_its_class(shown, outside):
    assert outside_class(BLUE, known=100.0, known_half_width=0.1, shown=shown) is outside


# A zero is set by hand: a few hundredths are an ordinary one, three tenths are none.
@pytest.mark.parametrize(
    ("meter", "shown", "far"),
    [
        (Meter("caliper", 0, 0, 0.01, 0.03), 0.3, True),
        (Meter("caliper", 0, 0, 0.01, 0.03), -0.05, False),
        (Meter("phone level", 0, 0, 0.1, 0.2), 0.7, True),
        (Meter("micrometer", 0, 0, 0.01, 0.004), 0.02, False),
        (Meter("scale", 1.0, 1, 0.1), 0.2, False),
    ],
)
def test_a_zero_far_outside_the_class(meter, shown, far):
    assert far_from_zero(meter, shown) is far
