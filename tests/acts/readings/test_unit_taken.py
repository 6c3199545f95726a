"""Limits without a unit take that of the reading, which is shown; where it may be another, it is asked."""

import pytest
from tests.refusing import refused

from knowngood.acts.readings.judging import as_json, judge_typed
from knowngood.acts.readings.unit_taken import ASK, ASK_WHICH, with_unit


def judged(limits, read, **more):
    return judge_typed({"limits": limits, "read": read, **more}, reading_id="7")


@pytest.mark.parametrize(
    ("limits", "read", "unit"),
    [("80-95", "101 ohm", "ohm"), ("80..95", "101 Ω", "ohm"), ("max 13.3", "12.4 V", "V"), ("min 12.4", "12.5 V", "V"),
     ("13,8..14,8", "14,2 V", "V")],
)  # fmt: skip
def test_the_reading_says_the_unit(limits, read, unit):
    found = judged(limits, read)
    assert found.band.unit == unit
    assert as_json(found)["further"][0].startswith(f'Taken: "{limits}" as {limits} ')
    same = judged(f"{limits} {found.unit}", read)
    assert found.judgement == same.judgement


@pytest.mark.parametrize(
    ("limits", "read", "own", "other"),
    [("80-95", "1.01 kohm", "kΩ", "ohm"), ("max 0.2", "310 mV", "mV", "V"), ("max 50", "0.0487 A", "A", "mA"),
     ("max 110", "230 °F", "°F", "°C"), ("max 2.5", "32 psi", "psi", "bar")],
)  # fmt: skip
def test_a_reading_that_lies_nearer_in_another_unit_is_asked_about(limits, read, own, other):
    words = ASK_WHICH.format(limits=limits, read=read, own=own, other=other)
    assert refused(judged, limits, read) == {"limits": words}


def test_a_reading_ten_times_away_is_asked_about():
    """As if 50 were mA, 2 A would be far out; as if it were A, far within."""
    assert refused(judged, "max 50", "2 A") == {"limits": ASK.format(limits="max 50", read="2 A")}


@pytest.mark.parametrize(
    ("limits", "read", "unit"),
    [("2.0-2.5", "1.4 bar", "bar"), ("8-10", "10 N·m", "N·m"), ("4.5-5", "3.8 L", "L"), ("87.5 ± 7.5", "88 ohm", "ohm"),
     ("80 – 95", "101 Ohms", "ohm"), ("max. 0.5", "0.2 V", "V"), ("max 5", "0.2 °", "deg"), ("-5-5", "2 °C", "°C"),
     ("min 22.0", "22,15 mm 22.14 mm", "mm")],
)  # fmt: skip
def test_each_form_of_limits_takes_it(limits, read, unit):
    """A unit less than one and a half times as large, as lbf·ft beside N·m, is no doubt."""
    typed, words = with_unit({"limits": limits, "read": read})
    assert typed["limits"] == f"{limits} {unit}"
    assert words


def test_limits_of_another_kind_than_the_readings_take_nothing_from_them():
    found = refused(judged, "min 75", "12.6 V", quantity="battery_charge", rested="8")
    assert found == {"limits": '"75" has no unit. Write it with one, such as "5 %".'}


def test_with_no_unit_at_all_it_is_asked_at_the_limits():
    assert refused(judged, "80-95", "101") == {"limits": '"80-95" has no unit. Write it with one, such as "13.4 ohm".'}


@pytest.mark.parametrize("limits", ["80..95 ohm", "max 13.3 ohm", "", "ohm"])
def test_what_has_a_unit_or_no_number_is_left_as_it_is(limits):
    assert with_unit({"limits": limits, "read": "90 ohm"}) == ({"limits": limits, "read": "90 ohm"}, "")
