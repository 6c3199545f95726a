"""From what an event keeps to a picture, in the unit that was written."""

import pytest

from knowngood.acts.readings.judging import event_data, judge_typed
from knowngood.report.pictures.views import picture_of

WARM = {
    "limits": "80..95 ohm", "read": "100.9 101.2 101.1 ohm", "zero": "0.4 ohm", "part": "48 ± 4 °C",
    "conductor": "copper", "meter": "0.8 % + 3 digits, 0.1 ohm",
}  # fmt: skip


def view(**typed):
    return picture_of(event_data(judge_typed(typed, reading_id="r", name="Coil")))


def test_a_warm_coil():
    coil = view(**WARM)
    assert (coil.lower, coil.upper, coil.unit, coil.title, coil.decimals) == (80.0, 95.0, "ohm", "Coil", 1)
    assert coil.value == pytest.approx(90.7, abs=0.05)
    assert coil.raw == pytest.approx(101.07, abs=0.01)
    assert coil.description == "within limits: 90.7 ± 1.7 ohm at 20 °C, allowed 80–95 ohm."


def test_all_numbers_are_in_the_unit_that_was_written():
    kilo = view(**WARM | {"limits": "0.08..0.095 kohm"})
    coil = view(**WARM)
    assert kilo.value == pytest.approx(coil.value / 1000.0)
    assert kilo.standard_uncertainty == pytest.approx(coil.standard_uncertainty / 1000.0)
    assert kilo.upper == pytest.approx(0.095)


def test_nothing_was_corrected_where_a_quantity_is_plain():
    assert view(limits="max 13.3 V", read="13.1 V").raw is None


def test_one_limit_leaves_the_band_open():
    one = view(limits="max 13.3 V", read="13.1 V")
    assert (one.lower, one.upper) == (None, 13.3)
