"""Single readings: what each has for itself, what all have alike, and a finer offset."""

import pytest

from knowngood.engine.judgement import Estimate, Remedy, Row
from knowngood.engine.measurement.meters.instruments import Meter
from knowngood.engine.measurement.readings.single import better_offset, offset_input, shown_input

ESTIMATE = Estimate(10.0, "kPa", (Row("meter:dial/offset", -2.0), Row("cranking", 3.0, remedies=("repeat",))))


@pytest.mark.parametrize(("digits", "half_width"), [(0, 5.0), (0.5, 5.0), (1, 10.0), (3, 30.0)])
def test_the_digits_contain_half_a_step(digits, half_width):
    found = shown_input(100.0, Meter("dial", 1.0, digits, 10), key="reading:7/1", name="cylinder 1")
    assert (found.value, found.half_width, found.key) == (100.0, half_width, "reading:7/1/digits")


def test_the_offset_is_about_zero():
    found = offset_input(Meter("dial", 0, 0, 1, offset=4))
    assert (found.value, found.half_width) == (0, 4)


def test_a_finer_instrument_has_a_finer_offset():
    ways = [Remedy("meter", "borrow", 30, {"digits": 1.0}), Remedy("data_sheet", "look up", 5, {"digits": 2.0})]
    assert [one.after for one in better_offset(ways, ESTIMATE)] == [
        {"digits": 1.0, "meter:dial/offset": 0.5}, {"digits": 2.0},
    ]  # fmt: skip
