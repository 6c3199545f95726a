"""A circuit's ledger from a job's events: volumes at 20 °C, what is owed, what a part keeps, what to have at hand."""

import pytest
from tests.garages import NOW, giving
from tests.refusing import refused

from knowngood.acts.fluids.at_hand import fluid_at_hand
from knowngood.acts.fluids.ledger import ledger
from knowngood.acts.fluids.words import cans_words, ends_with, hand_words, litre_words, litres, owed_words, title
from knowngood.engine.judgement import Estimate, Row
from knowngood.report.pictures.ledger import owed_picture
from knowngood.store.event import Event

SHEET = """
sheet: 1
id: oil_change
title: "Oil"
asks:
  total: {question: "How much it holds", answer: volume, like: "8 L"}
circuits:
  oil:
    name: "Engine"
    fluid: engine oil
    holds: {ask: total}
    refill: engine.cap
    density: "850 kg/m³ ± 5"
    left_in: {filter: "0.3 L ± 0.1"}
    level: {by: dipstick, tolerance: "0.25 L"}
  brakes: {name: "Brakes", fluid: brake fluid, holds: "0.9 L", refill: brakes.cap}
parts:
  filter: {name: "filter", single_use: true}
steps:
  - {id: drain, do: "Drain", zone: under, time: "1 2 3 min", drain: oil}
  - {id: filter_on, do: "New filter", zone: under, time: "1 2 3 min", fit: [filter], after: [drain]}
  - {id: fill, do: "Fill", zone: top, time: "1 2 3 min", fill: {circuit: oil, amount: "5 L ± 0.5"}, after: [filter_on]}
"""


@pytest.fixture
def shop(garage):
    """A job with one oil change in hand; `shop(kind, **fields)` hands an entry over."""
    give = giving(garage, "job/oil")
    give("vehicle_named", "vehicle/own", name="Own")
    give("job_opened", vehicle="own", sheet=SHEET)
    give.garage, give.job = garage, lambda: garage.job("oil")
    give.told = lambda circuit="oil": ledger(garage.job("oil"), circuit)
    give.hand = lambda: fluid_at_hand(garage, garage.job("oil"), "oil")
    return give


def unpoured(shop, kind="fluid_moved", **fields):
    return refused(shop, kind, **{"circuit": "oil", "way": "out", **fields})


@pytest.mark.published("API MPMS 11.1, lubricating oils, 850 kg/m3: 5.000 L read at 60 °C is 4.850 L at 20 °C")
def test_what_came_out_hot_is_less_at_20(shop):
    shop("step_done", step="drain", amount="5.000", fluid_c="60")
    (volume,) = shop.told().volumes
    assert volume.value == pytest.approx(4.850, abs=0.0005)
    assert shop.told().owed.value == volume.value
    words = "You took out 5 L at 60 °C: pour back 4.85 L at 20 °C; litre for litre would be 0.15 L too much."
    assert litre_words(shop.told()) == words
    assert owed_words(shop.told()) == (
        "4.85 ± 0.28 L are still owed, brought to 20 °C. The level may be off by 0.25 L. "
        "The level decides, not the jug."
    )


@pytest.mark.published("API MPMS 11.1: litre for litre, refilling cold what was drained at 60 °C overfills by 3 %")
def test_poured_back_litre_for_litre_it_is_too_much(shop):
    shop("fluid_moved", circuit="oil", way="out", amount="5", fluid_c="60")
    shop("fluid_moved", circuit="oil", way="in", amount="5", fluid_c="20")
    told = shop.told()
    assert told.owed.value == pytest.approx(-0.150, abs=0.0005)
    assert told.against.plain_l == 0.0
    assert litre_words(told) == "Litre for litre it looks even; brought to 20 °C it is 0.15 L too much."
    assert owed_words(told).startswith("0.15 ± 0.08 L more went in than is gone")


def test_nothing_moved_owes_nothing(shop):
    told = shop.told()
    assert (told.entries, told.against, owed_picture(told), litre_words(told)) == ((), None, None, None)
    assert owed_words(told) == "Nothing is owed."


def test_the_old_part_keeps_what_the_sheet_says_until_somebody_says_better(shop):
    shop("step_done", step="drain", amount="4", fluid_c="20")
    assert len(shop.told().entries) == 1
    (done,) = shop("step_done", step="filter_on")
    stayed = shop.told().entries[1]
    assert (stayed.assumed, stayed.part, stayed.moved.litre) == (True, "filter", 0.3)
    row = next(row for row in shop.told().owed.rows if row.key == "jug:what stays in the old filter")
    assert row.assumed
    assert row.contribution == pytest.approx(0.1 / 3**0.5, rel=0.05)
    shop("withdrawn", event=done.id)
    assert len(shop.told().entries) == 1
    shop("step_done", step="filter_on", left_filter="0.15")
    stayed = shop.told().entries[1]
    assert (stayed.assumed, stayed.part, stayed.moved.litre) == (False, "filter", 0.15)


def test_what_stayed_may_be_written_down_beside_the_steps(shop):
    shop("step_done", step="filter_on")
    shop("fluid_moved", circuit="oil", way="left", amount="0.2")
    assert [one.moved.litre for one in shop.told().entries] == [0.2]


def test_what_is_assumed_stands_where_the_part_was_renewed(shop):
    shop("step_done", step="drain", amount="4", fluid_c="20")
    shop("step_done", step="filter_on")
    shop("step_done", step="fill", amount="4.2", fluid_c="20")
    assert [one.moved.way.value for one in shop.told().entries] == ["out", "left", "in"]


def test_a_vessel_of_the_toolbox_has_its_own_class(shop):
    shop("instrument_added", "toolbox", name="can", line="1 % + 0 digits, 0.05 L")
    shop("fluid_moved", circuit="oil", way="out", amount="4", fluid_c="20", vessel="can")
    shop("fluid_moved", circuit="oil", way="out", amount="4", fluid_c="20")
    by_can, by_jug = shop.told().volumes
    rows = {row.key: row for row in by_can.rows}
    assert rows["jug:can"].contribution == pytest.approx(0.04 / 3**0.5)
    assert rows["pouring 1/mark"].contribution == pytest.approx(0.025 / 3**0.5)
    assert not rows["jug:can"].assumed
    assert {row.key: row for row in by_jug.rows}["jug:jug"].contribution == pytest.approx(0.2 / 3**0.5)


def test_what_a_check_has_shown_is_taken_off(shop):
    shop("instrument_added", "toolbox", name="can", line="1 % + 0 digits, 0.05 L")
    shop("instrument_checked", "toolbox", name="can", known="2 L", give="0.01", shown="2.1")
    shop("fluid_moved", circuit="oil", way="out", amount="2.1", fluid_c="20", vessel="can")
    assert shop.told().volumes[0].value == pytest.approx(2.0, abs=0.001)


def test_what_a_thermometer_is_known_to_be_off_is_taken_off(shop):
    shop("instrument_added", "toolbox", name="probe", line="± 2.5 °C, 0.1 °C")
    shop("instrument_checked", "toolbox", name="probe", known="60 °C", give="0.2", shown="58")
    shop("fluid_moved", circuit="oil", way="out", amount="2 L", fluid_c="58", thermometer="probe")
    shop("fluid_moved", circuit="oil", way="out", amount="2 L", fluid_c="58")
    by_probe, as_typed = (event.data["temperature_c"] for event in shop.garage.job("oil").state.fluids)
    assert (by_probe, as_typed) == (pytest.approx(60.0), 58.0)


@pytest.mark.published("arithmetic: mass over density; oil of 850 kg/m3 at 15 °C has 846.9 at 20 °C by API MPMS 11.1")
@pytest.mark.parametrize("warm", ["", "60"])
def test_what_was_weighed_does_not_grow(shop, warm):
    shop("instrument_added", "toolbox", name="scale", line="1 % + 1 digits, 0.01 kg")
    shop("fluid_moved", circuit="oil", way="out", amount="3.4", fluid_c=warm, vessel="scale")
    assert shop.told().volumes[0].value == pytest.approx(3.4 / 0.8469, abs=0.00025)


def test_events_from_before_there_were_vessels_are_read(shop):
    old = {"circuit": "oil", "way": "out", "typed": "4 L at 20 °C", "litre": 4.0, "temperature_c": 20.0, "step": None}
    stream = {"stream": "job/oil", "kind": "fluid_moved", "device": "old", "device_seq": 1}
    now = NOW.isoformat()
    shop.garage.store.append([Event.new(id="f" * 32, happened=now, recorded=now, data=old, **stream)])
    assert shop.told().owed.value == pytest.approx(4.0)


ALL = "Check the reading and its unit, or the total that your manual states."


@pytest.mark.parametrize(
    ("fields", "field", "words"),
    [
        ({"amount": "12"}, "amount", f"12 L came out, and the circuit holds 8 L ± 0.4 in all. {ALL}"),
        ({"amount": "12", "way": "spilled"}, "amount", "12 L went on the ground, and the circuit holds 8 L ± 0.4"),
        ({"amount": "0"}, "amount", '"0 L" is not an amount of fluid.'),
        ({"amount": "4 kg"}, "amount", '"4 kg" is a mass'),
        ({"amount": "4", "fluid_c": "200"}, "fluid_c", "Engine oil at 200 °C: how it grows is known from -50"),
        ({"amount": "4", "vessel": "bowl"}, "vessel", '"bowl" is nothing in the toolbox that measures fluid.'),
        ({"amount": "4 L", "vessel": "scale"}, "vessel", 'The scale shows kg, and "4 L" was written.'),
        ({"amount": "0 kg", "vessel": "scale"}, "amount", '"0 kg" is not an amount of fluid.'),
        ({"amount": "4", "vessel": "cylinder"}, "vessel", "The cylinder is described up to 0.5 L, and 4 L was read."),
        ({"amount": "4", "thermometer": "finger"}, "thermometer", '"finger" is nothing in the toolbox that reads'),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_at_its_field(shop, fields, field, words):
    shop("answered", ask="total", typed="8 L ± 0.4")
    shop("instrument_added", "toolbox", name="scale", line="1 % + 1 digits, 0.01 kg")
    shop("instrument_added", "toolbox", name="cylinder", preset="cylinder")
    problems = unpoured(shop, **fields)
    assert list(problems) == [field]
    assert problems[field].startswith(words)


def test_more_than_the_circuit_holds_is_refused_at_a_step_too(shop):
    shop("answered", ask="total", typed="8 L ± 0.4")
    problems = unpoured(shop, "step_done", step="drain", amount="12")
    assert problems == {"amount": f"12 L came out, and the circuit holds 8 L ± 0.4 in all. {ALL}"}
    assert list(unpoured(shop, "step_done", step="filter_on", left_filter="40")) == ["left_filter"]


def test_more_gone_in_all_than_the_circuit_holds_is_told_and_nothing_is_built_on_it(shop):
    shop("answered", ask="total", typed="8 L ± 0.4")
    shop("step_done", step="drain", amount="5", fluid_c="20")
    shop("step_done", step="filter_on", left_filter="0.3")
    assert not shop.told().beyond
    shop("fluid_moved", circuit="oil", way="out", amount="5", fluid_c="20")
    told = shop.told()
    assert owed_words(told).split(" L", 1)[1] == (
        " are gone, brought to 20 °C, and it holds 8 L in all. A filling is missing here, or a pouring stands twice or "
        "was misread: correct that first."
    )
    assert litre_words(told) is None
    assert not shop.hand().measured
    shop("fluid_moved", circuit="oil", way="in", amount="5", fluid_c="20")
    assert not shop.told().beyond


def test_without_a_total_there_is_still_a_most(shop):
    assert "no vehicle here holds more than 200 L" in unpoured(shop, amount="400")["amount"]


def test_before_the_drain_what_is_printed_is_had_at_hand(shop):
    found = shop.hand()
    assert not found.measured
    # Half of 95 % of a rectangle of half-width 0.5 is 1.96 x 0.5 / sqrt(3): GUM, 4.3.7.
    assert found.needed.standard_uncertainty == pytest.approx(0.5 / 3**0.5)
    assert (
        hand_words(found) == "Have 5.2 L at hand, which is enough 4 times out of 5; 5.5 L is enough 19 times out of 20."
    )
    assert (found.bought, cans_words(found)) == (None, None)


def test_after_the_drain_what_is_owed_is_had_at_hand_in_the_cheapest_cans(shop):
    shop("price_stated", "toolbox", what="fluid:engine oil", pack="5 L", amount="34")
    shop("price_stated", "toolbox", what="fluid:engine oil", pack="1 L", amount="12")
    shop("step_done", step="drain", amount="5", fluid_c="60")
    shop("step_done", step="filter_on", left_filter="0.3")
    found = shop.hand()
    assert found.measured
    assert found.needed.value == pytest.approx(shop.told().owed.value)
    assert cans_words(found) == "Cheapest: 1 × 5 L + 1 × 1 L for 46; about 0.9 L is left over."
    shop("step_done", step="fill", amount="5.2", fluid_c="20")
    assert shop.hand() is None


def test_once_filled_the_litres_no_longer_say_what_to_pour(shop):
    shop("step_done", step="drain", amount="5", fluid_c="20")
    assert title(shop.told()) == "Still owed"
    shop("step_done", step="filter_on")
    shop("step_done", step="fill", amount="4", fluid_c="20")
    told = shop.told()
    assert told.filled
    assert (title(told), litre_words(told)) == ("Out against in", None)
    assert "less went in than is gone" in owed_words(told)
    assert ends_with(told)[0] == "less in than gone"


def test_the_picture_holds_what_is_owed_against_the_level_s_tolerance(shop):
    shop("step_done", step="drain", amount="5", fluid_c="60")
    view = owed_picture(shop.told())
    assert (view.lower, view.upper, view.raw) == (-0.25, 0.25, 5.0)
    assert view.value == pytest.approx(4.85, abs=0.0005)
    shop("fluid_moved", circuit="brakes", way="out", amount="0.5")
    view = owed_picture(shop.told("brakes"))
    assert (view.lower, view.upper) == (None, None)


@pytest.mark.parametrize(
    ("u", "words"),
    [(0.0, "4.56 ± 0.00 L"), (0.083, "4.56 ± 0.16 L"), (0.004, "4.557 ± 0.008 L"), (1.0, "4.56 ± 1.96 L")],
)
def test_a_volume_shows_the_places_that_count(u, words):
    assert litres(Estimate(4.5571, "L", (Row("jug", u),) if u else ())) == words
