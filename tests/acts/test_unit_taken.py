"""Limits without a unit take that of the reading, which is shown; where it may be another, it is asked."""

import pytest
from tests.refusing import refused

from knowngood.acts.judging import as_json, judge_typed
from knowngood.acts.unit_taken import ASK, with_unit


def judged(limits, read, **more):
    return judge_typed({"limits": limits, "read": read, **more}, reading_id="7")


@pytest.mark.parametrize(
    ("limits", "read", "unit"),
    [("80-95", "101 ohm", "ohm"), ("80..95", "101 Ω", "ohm"), ("max 13.3", "12.4 V", "V"), ("min 12.4", "12.5 V", "V"),
     ("max 0.2", "310 mV", None), ("13,8..14,8", "14,2 V", "V")],
)  # fmt: skip
def test_the_reading_says_the_unit(limits, read, unit):
    if unit is None:  # 0.2 may be V
        assert "Write the unit of the limits, too." in refused(judged, limits, read)["limits"]
        return
    found = judged(limits, read)
    assert found.band.unit == unit
    assert as_json(found)["further"][0].startswith(f'Taken: "{limits}" as {limits} ')
    same = judged(f"{limits} {found.unit}", read)
    assert found.judgement == same.judgement


def test_a_reading_ten_times_away_is_asked_about():
    words = ASK.format(limits="80-95", read="1.01 kohm")
    assert refused(judged, "80-95", "1.01 kohm") == {"limits": words}


def test_with_no_unit_at_all_it_is_asked_at_the_limits():
    assert refused(judged, "80-95", "101") == {"limits": '"80-95" has no unit. Write it with one, such as "13.4 ohm".'}


@pytest.mark.parametrize("limits", ["80..95 ohm", "max 13.3 ohm", "", "ohm"])
def test_what_has_a_unit_or_no_number_is_left_as_it_is(limits):
    assert with_unit({"limits": limits, "read": "90 ohm"}) == ({"limits": limits, "read": "90 ohm"}, "")
