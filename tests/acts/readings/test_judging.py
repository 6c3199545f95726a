"""From typed words to a verdict."""

import json

import pytest
from tests.refusing import refused

from knowngood.acts.readings.judging import as_json, further, judge_typed
from knowngood.refusal import Refused

WARM = {
    "limits": "80..95 ohm",
    "at": "20 °C",
    "read": "100.9 101.2 101.1 ohm",
    "zero": "0.4 ohm",
    "part": "48 ± 4 °C",
    "conductor": "copper",
    "meter": "0.8 % + 3 digits, 0.1 ohm",
}


def judged(**changed):
    return judge_typed({**WARM, **changed}, reading_id="x")


def test_a_warm_coil_that_looks_too_high_is_within():
    found = as_json(judged())
    assert found["estimate"]["value"] == pytest.approx(90.7, abs=0.05)
    assert found["estimate"]["standard_uncertainty"] == pytest.approx(0.89, abs=0.01)
    assert found["verdict"] == "within limits"
    assert found["assumed"] == []
    assert json.loads(json.dumps(found)) == found


def test_a_limit_and_a_reading_are_enough_and_the_rest_is_assumed_aloud():
    found = as_json(judge_typed({"limits": "80..95 ohm", "read": "101 ohm"}, reading_id="x"))
    assert found["verdict"] == "can't tell"
    assert found["assumed"] == [
        "a cheap instrument, ± (0.8 % + 5 ohm)",
        "test leads of 0.1 to 0.5 ohm",
        "the part anywhere from 10 to 90 °C",
        "wound of anything from resistance alloy to copper",
        "limits stated for 20 °C",
    ]
    assert found["settle"]
    assert abs(found["probability_linear"] - found["probability_monte_carlo"]) > 0.02
    assert found["further"][-1].endswith("the second counts.")
    assert all(0.0 <= one["probability"] <= 1.0 for one in found["settle"])


def test_an_alloy_is_not_corrected_like_copper():
    copper, alloy = judged(), judged(conductor="alloy")
    assert alloy.estimate.value == pytest.approx(100.667, abs=0.01)
    assert copper.estimate.value < 91.0


def test_the_unit_that_was_written_does_not_change_the_verdict():
    kilo = judge_typed({**WARM, "limits": "0.08..0.095 kΩ", "read": "0.1009 0.1012 0.1011 kΩ"}, reading_id="x")
    assert kilo.judgement.probability_inside == pytest.approx(judged().judgement.probability_inside, abs=1e-6)


@pytest.mark.parametrize(
    ("rule", "verdict"), [("safety", "out of limits"), ("30 100", "within limits"), ("usual", "can't tell")]
)
def test_the_rule_decides_about_a_doubtful_reading(rule, verdict):
    assert judged(limits="80..91.2 ohm", rule=rule).judgement.verdict == verdict


@pytest.mark.parametrize(
    ("quantity", "limits", "words"),
    [
        ("disc_thickness", "min 22", '"22" has no unit. Write it with one, such as "1.5 mm".'),
        ("battery_charge", "", 'Nothing is written here. Write a number with its unit, such as "5 %".'),
        ("", "80..95", '"80..95" has no unit. Write it with one, such as "13.4 ohm".'),
    ],
)
def test_limits_that_cannot_be_read_are_told_in_the_quantitys_own_unit(quantity, limits, words):
    typed = {"quantity": quantity, "limits": limits, "read": "1"}
    assert refused(judge_typed, typed, reading_id="x") == {"limits": words}


@pytest.mark.parametrize("quantity", ["disc_thickness", "pad_thickness", "tread_depth"])
def test_no_costs_are_weighed_against_safety(quantity):
    words = {"quantity": quantity, "limits": "min 3 mm", "read": "8.00 mm"}
    said = f"{quantity} is a matter of safety: no costs are weighed against it. Write safety, or leave this out."
    assert refused(judge_typed, {**words, "rule": "30 100"}, reading_id="x") == {"rule": said}
    assert judge_typed({**words, "rule": "safety"}, reading_id="x").judgement.verdict == "within limits"


@pytest.mark.parametrize(
    ("changed", "field", "message"),
    [
        ({"read": "OL"}, "read", "display's overload"),
        ({"read": "-3 ohm"}, "read", "is not above zero"),
        ({"zero": "200 ohm"}, "zero", "nothing is left for the part"),
        ({"part": "48 K"}, "part", "a temperature belongs here"),
        ({"part": "500 °C"}, "part", "where this correction holds"),
        ({"conductor": "gold"}, "conductor", "Take copper, aluminium or alloy."),
        ({"meter": "good"}, "meter", "is not a data sheet's line"),
        ({"meter": "0.5 % + 2 digits, 0.01 V"}, "meter", "a resistance was read"),
        ({"limits": "95..80 ohm"}, "limits", "Write the lower end first"),
        ({"rule": "maybe"}, "rule", "is not a rule"),
    ],
)
def test_what_cannot_be_used_is_told_at_its_field(changed, field, message):
    problems = refused(judged, **changed)
    assert list(problems) == [field]
    assert message in problems[field]


DEAD = {"quantity": "cylinder_compression", "read": "600 610 590 620 kPa"}


@pytest.mark.parametrize(
    ("typed", "field", "words"),
    [
        (DEAD | {"limits": "min 1,000 kPa"}, "limits", 'Write "1000 kPa" or "1.000 kPa".'),
        (DEAD | {"limits": "min 1 kPa"}, "limits", "a compression lies from 10 to 8000 kPa"),
        (DEAD | {"limits": "min 1000 kPa", "read": "1,050 kPa"}, "read", 'Write "1050 kPa" or "1.050 kPa".'),
        ({"limits": "80..95 ohm", "read": "1,090 ohm"}, "read", 'Write "1090 ohm" or "1.090 ohm".'),
        ({"quantity": "thermistor_resistance", "limits": "2,200–2,800 ohm", "read": "3050 ohm"}, "limits",
         'Write "2200–2800 ohm" or "2.200–2.800 ohm".'),
        ({"quantity": "thermistor_resistance", "limits": "2200–2800 ohm", "read": "3050 ohm", "beta": "3,435"}, "beta",
         'Write "3435" or "3.435".'),
        ({"quantity": "fuel_pressure", "limits": "3,500..4,200 mbar", "read": "3600 mbar"}, "limits",
         'Write "3500..4200 mbar" or "3.500..4.200 mbar".'),
        ({"limits": "80..95 ohm", "read": "90 ohm", "rule": "1,000 5"}, "rule", 'Write "1000" or "1.000".'),
        ({"limits": "80..95 ohm", "read": "90 ohm", "rule": "nan 5"}, "rule", "is not a rule"),
        ({"limits": "80..95 ohm", "read": "90 ohm", "rule": "1e400 5"}, "rule", "is not a rule"),
    ],
)  # fmt: skip
def test_a_number_a_thousand_times_apart_is_asked_about_at_its_field(typed, field, words):
    with pytest.raises(Refused) as refused:
        judge_typed(typed, reading_id="x")
    assert words in refused.value.problems[field]


def test_a_number_that_cannot_be_in_thousands_is_taken_as_a_fraction_and_shown_so():
    disc = {"quantity": "disc_thickness", "limits": "min 21,985 mm", "read": "22,150 22,14 22,16 mm"}
    judged = judge_typed(disc, reading_id="x")
    assert judged.band.lower == 21.985
    assert further(judged)[0] == "Taken: 21,985 as 21.985, 22,150 as 22.150."
    assert judged.typed["read"] == "22,150 22,14 22,16 mm"


def test_a_number_of_the_same_field_decides():
    judged = judge_typed(DEAD | {"limits": "min 1,000.0 kPa", "read": "1,050 1,062.5 kPa"}, reading_id="x")
    assert (judged.band.lower, judged.taken) == (1000.0, ("1,050 as 1050",))


def test_decimal_commas_are_no_question():
    judged = judge_typed({"limits": "11,7..13,3 ohm", "read": "12,1 12,15 ohm"}, reading_id="x")
    assert (judged.band.lower, judged.taken) == (11.7, ())
