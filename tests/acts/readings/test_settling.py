"""What would settle a doubt: with what is there, and what one would have to get, with its price."""

import pytest
from tests.acts.toolboxes import boxed

from knowngood.acts.readings.judging import as_json, event_data, further, judge_typed
from knowngood.acts.readings.settling import worth_showing

VERNIER = ("instrument_added", {"preset": "vernier", "name": "old caliper"})
MICROMETER = ("instrument_added", {"preset": "micrometer", "name": "thimble"})
GAUGE = ("instrument_added", {"preset": "pressure_gauge", "name": "gauge", "range": "0..400 kPa"})
PRICE = ("price_stated", {"what": "instrument:micrometer", "amount": "24.50"})
DISC = {
    "quantity": "disc_thickness", "limits": "min 22 mm", "read": "22.05 22.05 22.10 22.05 mm", "meter": "old caliper",
    "zero_error": "0",
}  # fmt: skip


def judged(*rows, **changed):
    return judge_typed({**DISC, **changed}, reading_id="7", toolbox=boxed(*rows))


def by_key(found):
    return {one.key: one for one in found.judgement.settle}


def test_a_kind_of_instrument_that_suits_is_named_with_its_price():
    ways = by_key(judged(VERNIER, PRICE))
    assert {key for key in ways if key.startswith("get:")} == {"get:caliper", "get:micrometer"}
    assert "meter" not in ways
    micrometer, caliper = ways["get:micrometer"], ways["get:caliper"]
    assert (micrometer.remedy, micrometer.minutes, micrometer.money) == ("Borrow or buy a micrometer", 30.0, 24.5)
    assert caliper.money is None
    assert micrometer.probability > caliper.probability > 0.5


def test_what_is_in_the_toolbox_is_not_to_be_got():
    ways = by_key(judged(VERNIER, MICROMETER, PRICE))
    assert "get:micrometer" not in ways
    own = ways["own:thimble"]
    assert (own.minutes, own.money) == (5.0, 0.0)
    assert own.probability == pytest.approx(by_key(judged(VERNIER, PRICE))["get:micrometer"].probability)


def test_what_is_in_the_toolbox_is_offered_though_nobody_said_what_was_read_with():
    ways = by_key(judged(MICROMETER, meter="", read="22.04 mm"))
    assert ways["own:thimble"].probability > 0.3


def test_an_instrument_that_is_too_coarse_to_show_anything_is_no_help():
    fine, coarse = (
        ("instrument_added", {"name": name, "line": line})
        for name, line in (("fine", "1 % + 2 digits, 0.1 ohm"), ("coarse", "0.1 %, 100 ohm"))
    )
    words = {"quantity": "thermistor_resistance", "limits": "80..90 ohm", "read": "89.5 ohm", "meter": "fine"}
    found = judge_typed(
        {**words, "at": "20", "part": "20 ± 1", "beta": "3435"}, reading_id="7", toolbox=boxed(fine, coarse)
    )
    assert found.judgement.doubtful
    assert "own:coarse" not in by_key(found)


def test_a_kind_that_is_no_finer_is_not_offered():
    assert not [key for key in by_key(judged(MICROMETER, meter="thimble", read="22.002 mm")) if key.startswith("get:")]


def test_the_budget_afterwards_is_that_of_reading_the_same_with_the_other():
    now, then = judged(VERNIER), judged(MICROMETER, meter="thimble")
    assert by_key(now)["get:micrometer"].uncertainty == pytest.approx(then.estimate.standard_uncertainty)


def test_where_no_kind_suits_any_finer_meter_is_borrowed():
    found = judge_typed({"limits": "min 12.4 V", "read": "12.45 V"}, reading_id="7", toolbox=boxed(PRICE))
    assert by_key(found)["meter"].remedy == "Borrow or buy a meter with 0.001 V steps"
    assert by_key(found)["meter"].money is None
    assert not [key for key in by_key(found) if key.startswith("get:")]


def test_a_finer_meter_has_the_price_of_a_multimeter_where_one_reads_it():
    box = boxed(("price_stated", {"what": "instrument:multimeter", "amount": "39"}))
    volts = judge_typed({"limits": "min 12.4 V", "read": "12.45 V"}, reading_id="7", toolbox=box)
    coil = {"quantity": "winding_resistance", "limits": "max 13.3 ohm", "read": "13.4 ohm", "part": "20 ± 2"}
    ohm = judge_typed(coil, reading_id="7", toolbox=box)
    assert (by_key(volts)["meter"].money, by_key(ohm)["meter"].money) == (39.0, 39.0)


def test_nothing_at_hand_settles_it_and_the_kinds_that_would_are_named():
    assert judged(VERNIER, PRICE).unsettled == (
        "Nothing you have settles it: it would take an instrument that is off by 0.051 mm at most where you read. "
        "A caliper (± 0.02 mm) or a micrometer (± 0.004 mm; price 24.50) is."
    )


def steady(shown, unit):
    """So many readings alike that what such readings usually scatter no longer counts."""
    return f"{' '.join([shown] * 6)} {unit}"


def test_a_gauge_is_named_with_its_class_and_scale():
    words = {
        "quantity": "oil_pressure",
        "limits": "min 230 kPa",
        "read": steady("237", "kPa"),
        "meter": "gauge",
    }
    found = judge_typed(words, reading_id="7", toolbox=boxed(GAUGE))
    assert found.unsettled.endswith("A pressure gauge, class 1, with a scale to 400 kPa (± 4 kPa) is.")
    assert found.judgement.settle[0].remedy == "Borrow or buy a pressure gauge, class 1, with a scale to 400 kPa"


def test_a_gauge_is_told_in_the_unit_of_the_limits():
    words = {
        "quantity": "oil_pressure",
        "limits": "min 230 kPa",
        "read": steady("2.37", "bar"),
        "meter": "gauge",
    }
    found = judge_typed(words, reading_id="7", toolbox=boxed(GAUGE))
    assert found.unsettled.endswith("A pressure gauge, class 1, with a scale to 400 kPa (± 4 kPa) is.")


def test_no_kind_that_is_known_may_be_good_enough():
    words = {
        "quantity": "oil_pressure",
        "limits": "min 230 kPa",
        "read": steady("232", "kPa"),
        "meter": "gauge",
    }
    found = judge_typed(words, reading_id="7", toolbox=boxed(GAUGE))
    assert found.unsettled.endswith("No kind of instrument known here is that good, if it reads the same.")
    assert by_key(found)["get:fine_gauge"].probability > 0.05


OPEN = "Nothing you have settles it, and no finer instrument alone would: scatter of the readings leaves too much open."


def test_with_no_chance_at_all_only_the_sentence_stands():
    fine = ("instrument_added", {"preset": "fine_gauge", "name": "gauge", "range": "0..250 kPa"})
    words = {
        "quantity": "oil_pressure",
        "limits": "min 230 kPa",
        "read": steady("230.5", "kPa"),
        "meter": "gauge",
    }
    found = judge_typed(words, reading_id="7", toolbox=boxed(fine))
    assert worth_showing(as_json(found)["settle"]) == []
    assert found.unsettled == OPEN


def test_what_stays_open_with_any_instrument_is_said():
    words = {"quantity": "pad_thickness", "limits": "min 3 mm", "read": "3.2 mm", "meter": "old caliper"}
    found = judge_typed(words, reading_id="7", toolbox=boxed(VERNIER))
    assert found.judgement.settle
    assert found.unsettled is None
    at_limit = judged(MICROMETER, meter="thimble", read="22.001 22.001 22.002 22.001 22.002 22.001 22.001 22.002 mm")
    assert at_limit.unsettled.startswith("Nothing you have settles it, and no finer instrument alone would: ")


def test_where_something_at_hand_may_do_nothing_is_said():
    assert judged(VERNIER, MICROMETER).unsettled is None
    clear = judged(VERNIER, read="22.6 mm")
    assert (clear.unsettled, clear.judgement.settle) == (None, ())


def test_json_has_all_with_their_money_and_an_event_keeps_it():
    found = judged(VERNIER, PRICE)
    money = {one["remedy"]: one["money"] for one in as_json(found)["settle"]}
    assert money["Borrow or buy a micrometer"] == 24.5
    assert money["Borrow or buy a caliper"] is None
    assert len(money) == len(found.judgement.settle)
    data = event_data(found)
    assert data["further"] == further(found) == [found.unsettled]
    assert {one["key"]: one["money"] for one in data["judgement"]["settle"]}["get:micrometer"] == 24.5


def test_what_has_less_than_one_chance_in_twenty_is_not_shown():
    rows = [{"key": "zero", "probability": chance} for chance in (0.3, 0.05, 0.0499, 0.0)]
    assert worth_showing(rows) == rows[:2]
    assert worth_showing(rows[2:]) == []


def test_a_place_that_is_cold_or_hot_counts_for_the_other_instrument_too():
    mild, cold = (by_key(judged(VERNIER, ambient=ambient)) for ambient in ("", "-15 °C"))
    assert cold["get:micrometer"].uncertainty > mild["get:micrometer"].uncertainty
