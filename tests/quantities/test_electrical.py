"""What is typed for voltages, currents and a battery, and what comes back."""

import pytest
from tests.quantities.handed import judged
from tests.refusing import refused

from knowngood.acts.readings.judging import judge_typed
from knowngood.quantities import electrical
from knowngood.quantities.electrical import QUANTITIES
from knowngood.quantities.known import example_words


@pytest.mark.parametrize(
    ("quantity", "verdict"),
    [
        (electrical.DROP, "out of limits"), (electrical.CHARGING, "within limits"),
        (electrical.PARASITIC, "within limits"), (electrical.CHARGE, "within limits"),
    ],
    ids=lambda one: getattr(one, "name", one),
)  # fmt: skip
def test_the_example_works_as_it_stands(quantity, verdict):
    assert judged(quantity).judgement.verdict.value == verdict


@pytest.mark.parametrize("quantity", QUANTITIES, ids=lambda one: one.name)
def test_limits_and_a_reading_are_enough(quantity):
    words = example_words(quantity)
    found = judge_typed({key: words[key] for key in ("quantity", "limits", "read")}, reading_id="x")
    assert 0.0 <= found.judgement.probability_inside <= 1.0


@pytest.mark.parametrize("quantity", QUANTITIES, ids=lambda one: one.name)
def test_every_quantity_says_what_goes_wrong(quantity):
    assert quantity.trap.endswith(".")
    assert quantity.title


def test_milliamperes_are_read_as_such():
    assert judged(electrical.PARASITIC).estimate.value == pytest.approx(0.032, abs=0.0001)


def test_hours_of_rest_and_bare_numbers_are_understood():
    short, long = (judged(electrical.CHARGE, rested=rested) for rested in ("1", "600 min"))
    assert short.estimate.value < long.estimate.value
    assert any("surface" in one for one in short.assumed)
    assert not any("surface" in one for one in long.assumed)


def test_the_current_decides_what_the_drop_means():
    found = judged(electrical.DROP, load_a="45 ± 2", at_load="20")
    assert found.estimate.value == pytest.approx(0.32 * 20 / 45)
    assert found.judgement.verdict.value == "within limits"


@pytest.mark.parametrize(
    ("quantity", "changed", "first"),
    [
        (electrical.DROP, {"limits": "max 0.2 V", "read": "0.19 V", "at_load": "45"}, "load"),
        (electrical.CHARGING, {"read": "13.7 V", "place": "elsewhere", "meter": "0.2 % + 1 digits, 0.01 V"}, "posts"),
        (electrical.PARASITIC, {"read": "300 mA", "locked": ""}, "sleep"),
    ],
    ids=lambda one: getattr(one, "name", ""),
)  # fmt: skip
def test_what_would_settle_it(quantity, changed, first):
    assert judged(quantity, **changed).judgement.settle[0].key == first


def test_a_battery_with_nothing_stated_offers_rest_thermometer_and_table():
    found = judge_typed({"quantity": "battery_charge", "limits": "min 75 %", "read": "12.5"}, reading_id="x")
    assert {"rest", "temperature", "table"} <= {one.key for one in found.judgement.settle}
    assert "Borrow or buy a meter with 0.01 V steps" in {one.remedy for one in found.judgement.settle}


@pytest.mark.parametrize(
    ("quantity", "changed", "field", "begins"),
    [
        (electrical.DROP, {"load": "off"}, "load", "With the load off no current flows"),
        (electrical.DROP, {"load_a": "0"}, "load_a", "A load of 0 A: that is not above zero."),
        (electrical.DROP, {"at_load": "-5"}, "at_load", "Limits for -5 A: that is not above zero."),
        (electrical.DROP, {"load": "45"}, "load", '"45" is none of the choices. Take'),
        (electrical.DROP, {"read": "-0.4 V"}, "read", "A reading of -0.4 V is below zero: the probes"),
        (electrical.CHARGING, {"engine": "off"}, "engine", "With the engine off this is the battery alone"),
        (electrical.PARASITIC, {"burden": "5 V"}, "burden", "A voltage across the meter of 5 V is more than 2 V"),
        (electrical.PARASITIC, {"sleep": "-1"}, "sleep", "-1 min is below zero. Write the time until everything"),
        (electrical.PARASITIC, {"locked": "-1"}, "locked", "Locked -1 min ago is in the future."),
        (electrical.PARASITIC, {"read": "0.00 A"}, "read", "A reading of 0 A is below one step of the display"),
        (electrical.CHARGE, {"read": "25.4"}, "read", "25.4 V is more than one battery of 12 V"),
        (electrical.CHARGE, {"rested": "-2"}, "rested", "Rested -2 h is below zero."),
        (electrical.CHARGE, {"temperature": "80"}, "temperature", "A battery's temperature of 80 °C is more than 60"),
        (electrical.CHARGE, {"limits": "min 12.4 V"}, "limits", '"min 12.4 V" is a voltage'),
    ],
    ids=lambda one: getattr(one, "name", ""),
)  # fmt: skip
def test_refused_at_its_field(quantity, changed, field, begins):
    problems = refused(judged, quantity, **changed)
    assert list(problems) == [field]
    assert problems[field].startswith(begins)
