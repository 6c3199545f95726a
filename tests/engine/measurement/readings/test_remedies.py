"""What could be done, and that doing it leaves what was promised."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from knowngood.engine.judgement import Band, Estimate, Remedy, Row, Shape, judge
from knowngood.engine.measurement.electrical.resistance import Part, winding_resistance
from knowngood.engine.measurement.meters.classes import PRESETS
from knowngood.engine.measurement.meters.instruments import Meter, finer, typical
from knowngood.engine.measurement.readings.plain import plain_quantity
from knowngood.engine.measurement.readings.remedies import (
    CONTACT_THERMOMETER_K,
    Other,
    Way,
    by_instrument,
    by_ways,
    instrument_needed,
    of_kind,
    remedies,
    scale_end,
)

BLUE = Meter("blue", 0.8, 3, 0.1)


def by_key(found):
    return {one.key: one for one in found}


def test_a_reading_alone_has_everything_to_find_out():
    meter = typical("ohm", 0.01)
    found = winding_resistance([9.95], meter=meter, conductor="unknown")
    ways = by_key(remedies(found, meter=meter, readings=1, part=Part()))
    assert set(ways) == {"zero", "part", "cool", "data_sheet", "conductor", "meter", "stated"}
    assert all(one.minutes > 0 and one.after for one in ways.values())


def test_reading_the_leads_is_no_help_on_a_coarse_display():
    meter = typical("ohm", 0.1)
    found = winding_resistance([99.5], meter=meter)
    assert "zero" not in by_key(remedies(found, meter=meter, readings=1, part=Part()))


def test_measuring_the_part_leaves_what_it_promises():
    warm = winding_resistance([101.0], meter=BLUE, zero_ohm=[0.4], part=Part(48, 6, assumed=False))
    better = winding_resistance(
        [101.0], meter=BLUE, zero_ohm=[0.4], part=Part(48, CONTACT_THERMOMETER_K, assumed=False)
    )
    way = by_key(remedies(warm, meter=BLUE, readings=1, part=Part(48, 6, assumed=False)))["part"]
    row = next(row for row in better.rows if row.key == "reading:reading/part")
    assert way.after == pytest.approx({row.key: abs(row.contribution)})


def test_a_borrowed_meter_leaves_what_it_promises():
    read = {"zero_ohm": [0.3, 0.2, 0.3], "part": Part(25, 3, assumed=False)}
    coarse = winding_resistance([0.9, 0.9, 1.0], meter=BLUE, **read)
    fine = winding_resistance([0.9, 0.9, 1.0], meter=finer(BLUE), **read)
    way = by_key(remedies(coarse, meter=BLUE, readings=3, part=read["part"]))["meter"]
    rows = {row.key: abs(row.contribution) for row in fine.rows}
    assert set(way.after) >= {"meter:blue/gain", "reading:reading/digits", "reading:reading/leads/digits"}
    assert way.after == pytest.approx({key: rows[key] for key in way.after})


def test_no_number_of_repeats_settles_a_coarse_display():
    part = Part(25, 3, assumed=False)
    found = winding_resistance([0.9, 0.9, 1.0, 0.9, 0.9], meter=BLUE, zero_ohm=[0.3, 0.2, 0.3], part=part)
    ways = remedies(found, meter=BLUE, readings=5, part=part)
    settle = {one.key: one.probability for one in judge(found, Band(0.4, 0.6, "ohm"), remedies=ways).settle}
    assert settle["repeat"] < 0.05
    assert 0.4 < settle["meter"] < 0.5  # taken as normals, where 5 and 3 readings have wider tails, it would be more


def test_cooling_makes_the_conductor_matter_less_too():
    found = winding_resistance([101.0], meter=BLUE, zero_ohm=[0.4], part=Part(), conductor="unknown")
    way = by_key(remedies(found, meter=BLUE, readings=1, part=Part()))["cool"]
    now = {row.key: abs(row.contribution) for row in found.rows}
    assert {key: left / now[key] for key, left in way.after.items()} == pytest.approx(
        {"reading:reading/part": 1.5 / 40, "conductor:unknown": 5.0 / 30}
    )


def test_what_is_already_as_good_is_not_offered():
    part = Part(20.5, 1.0, assumed=False)
    found = winding_resistance([101.0, 101.0], meter=BLUE, zero_ohm=[0.4], part=part)
    assert set(by_key(remedies(found, meter=BLUE, readings=2, part=part))) == {"meter"}


def test_a_plain_quantity_knows_no_part():
    meter = typical("V", 0.01)
    found = plain_quantity([12.41, 12.43], unit="V", meter=meter)
    assert set(by_key(remedies(found, meter=meter, readings=2))) == {"repeat", "data_sheet", "meter"}


def test_more_readings_shrink_the_scatter_by_the_root_of_their_number():
    found = plain_quantity([12.41, 12.43, 12.45, 12.40], unit="V", meter=BLUE)
    way = by_key(remedies(found, meter=BLUE, readings=4))["repeat"]
    row = next(row for row in found.rows if row.key == "reading:reading/scatter")
    assert way.after == pytest.approx({row.key: row.contribution * (4 / 9) ** 0.5})


def test_a_part_known_exactly_needs_no_thermometer():
    part = Part(48.0, 0.0, assumed=False)
    found = winding_resistance([101.0, 101.1], meter=BLUE, zero_ohm=[0.4], part=part)
    assert {"part"}.isdisjoint(by_key(remedies(found, meter=BLUE, readings=2, part=part)))


def test_a_data_sheet_does_not_make_the_display_finer():
    meter = typical("V", 0.1)
    found = plain_quantity([12.4], unit="V", meter=meter)
    ways = by_key(remedies(found, meter=meter, readings=1))
    assert "reading:reading/step" not in ways["data_sheet"].after
    assert "reading:reading/step" in ways["meter"].after


def test_what_was_assumed_is_found_out_together():
    meter = typical("ohm", 1.0)
    found = winding_resistance([101.0], meter=meter, conductor="unknown")
    ways = remedies(found, meter=meter, readings=1, part=Part())
    settle = {one.key: one.probability for one in judge(found, Band(80.0, 95.0, "ohm"), remedies=ways).settle}
    assert settle["stated"] > max(chance for key, chance in settle.items() if key != "stated")
    assert by_key(ways)["stated"].minutes == sum(
        by_key(ways)[key].minutes for key in ("part", "data_sheet", "conductor")
    )


CRANKED = Estimate(10.0, "kPa", (
    Row("cranking", -3.0, assumed=True, remedies=("repeat",)), Row("known", 2.0, remedies=("repeat", "tester")),
    Row("still", 0.0, remedies=("wait",)),
))  # fmt: skip
AGAIN, COMPARE = Way("repeat", "again", 20, 0.5), Way("tester", "compare", 5, 0.0)


def test_a_way_moves_the_rows_that_name_it():
    assert by_ways(CRANKED, [AGAIN, COMPARE, Way("wait", "wait", 9, 0.5), Way("other", "other", 9, 0.5)]) == [
        Remedy("repeat", "again", 20, {"cranking": 1.5, "known": 1.0}), Remedy("tester", "compare", 5, {"known": 0.0}),
    ]  # fmt: skip


def test_what_was_stated_is_not_worth_stating_again():
    assert by_ways(CRANKED, [AGAIN, COMPARE], assumed_only=True) == [Remedy("repeat", "again", 20, {"cranking": 1.5})]


FIXED, SHARE = Meter("fixed", 0.0, 0.0, 0.01, offset=0.06), Meter("share", 0.5, 2.0, 0.01)
VOLTS = [12.50, 12.51, 12.49, 12.52]


def read_by(meter, values=VOLTS):
    return plain_quantity(values, unit="V", meter=meter)


def rows_by_key(found):
    return {row.key: abs(row.contribution) for row in found.rows if row.contribution}


def test_another_instrument_leaves_what_reading_with_it_leaves():
    now, then = read_by(FIXED), read_by(SHARE)
    (way,) = by_instrument(now, [Other("own:share", "Read it with your share", 5.0, then)])
    kept = {key: size for key, size in rows_by_key(now).items() if key not in way.after}
    assert {**kept, **{key: left for key, left in way.after.items() if left}} == pytest.approx(rows_by_key(then))


def test_a_percent_that_the_first_instrument_lacks_comes_in_whole():
    now, then = read_by(FIXED), read_by(SHARE)
    (way,) = by_instrument(now, [Other("own:share", "", 5.0, then)])
    assert way.after["meter:share/gain"] == pytest.approx(0.005 * 12.505 / 3**0.5)
    band = Band(None, 12.56, "V")
    assert not judge(now, band, remedies=[way]).settle  # 0.5 % of 12.5 V is more than both had
    worse = by_instrument(then, [Other("own:fixed", "", 5.0, now, money=3.0)])
    (settle,) = judge(then, band, remedies=worse).settle
    assert (settle.money, settle.uncertainty) == (3.0, pytest.approx(now.standard_uncertainty))


def test_the_zero_of_an_instrument_goes_with_it():
    now = Estimate(22.0, "mm", (Row("meter:old/zero", 0.02), Row("reading:7/feel", 0.01)))
    then = Estimate(22.0, "mm", (Row("meter:new/zero", 0.002), Row("reading:7/feel", 0.01)))
    (way,) = by_instrument(now, [Other("own:new", "", 5.0, then)])
    assert way.after == {"meter:old/zero": 0.0, "meter:new/zero": 0.002}
    assert instrument_needed(now, 0.02) == pytest.approx((3 * (0.02**2 - 0.01**2)) ** 0.5)


DRAWS = 200_000


def from_many(found):
    """As if many readings had shown the scatter: then all of it is normal."""
    return replace(found, rows=tuple(replace(row, degrees_of_freedom=math.inf) for row in found.rows), quantiles=None)


def coil_by(meter):
    """One reading each of part and leads; the part's temperature stays as doubtful as it is."""
    return winding_resistance([100.9], meter=meter, zero_ohm=[0.4], part=Part(48, 4, assumed=False))


OFFSET = Meter("offset", 0.0, 0.0, 0.1, offset=0.9)
PAIRS = [
    (OFFSET, BLUE),
    (BLUE, Meter("short", 0.0, 2.0, 0.1)),
    (Meter("worn", 2.0, 3, 0.1), Meter("fine", 0.1, 2, 0.01)),
]


@pytest.mark.parametrize(("mine", "other"), PAIRS, ids=lambda one: one.name)
@pytest.mark.parametrize("ends", [(None, 1.2), (-1.4, 6.0)], ids=["most", "between"])
def test_the_chance_is_that_of_taking_the_other_instrument(mine, other, ends):
    """Errors are drawn row by row: those of mine come off the value of today, those of the other come on."""
    now, then = coil_by(mine), coil_by(other)
    lower, upper = (None if end is None else now.value + end * now.standard_uncertainty for end in ends)
    generator = np.random.Generator(np.random.PCG64(29))

    def drawn(rows):
        def law(row):
            bounded = row.shape is Shape.RECTANGULAR
            return generator.uniform(-(3**0.5), 3**0.5, DRAWS) if bounded else generator.standard_normal(DRAWS)

        return sum(row.contribution * law(row) for row in rows)

    def of_meter(found):
        return [row for row in found.rows if "meter" in row.remedies]

    shown = now.value - drawn(of_meter(now)) + drawn(of_meter(then))
    doubt = np.sort(drawn(then.rows))
    inside = 1.0 - np.searchsorted(doubt, shown - upper) / DRAWS
    inside -= 0.0 if lower is None else 1.0 - np.searchsorted(doubt, shown - lower) / DRAWS
    clear = np.mean((inside >= 0.95) | (inside <= 0.05))
    ways = by_instrument(now, [Other("own:other", "", 5.0, then)])
    (settle,) = judge(now, Band(lower, upper, "ohm"), remedies=ways).settle
    chance = settle.probability
    assert 0.1 < chance < 0.95
    assert clear == pytest.approx(chance, abs=0.03)


def test_a_gauge_to_borrow_has_the_smallest_scale_that_is_not_read_at_its_end():
    def off(key, most):
        return of_kind(PRESETS[key], "kPa", [most, 0.5 * most]).absolute

    assert [off("pressure_gauge", most) for most in (75.0, 76.0, 240.0, 1200.0)] == [2.5, 4.0, 10.0, 40.0]
    assert off("fine_gauge", 240.0) == 4.0
    assert [scale_end(most) for most in (0.0, 3.0, 4.5, 450.0, 7.5, 7.6)] == [1.6, 4.0, 6.0, 600.0, 10.0, 16.0]


@given(st.floats(1.0, 1e5))
def test_a_scale_reaches_the_reading_and_is_not_much_longer(most):
    assert most / 0.75 * (1 - 1e-6) <= scale_end(most) <= 10 / 6 * most / 0.75 * (1 + 1e-6) + 1e-9


def test_the_range_that_reaches_is_taken_or_none():
    assert of_kind(PRESETS["multimeter"], "ohm", [350.0]).step == 0.1
    assert of_kind(PRESETS["multimeter"], "V", [-12.6]).step == 0.01
    assert of_kind(PRESETS["cylinder"], "L", [0.45]).absolute == 0.004
    assert of_kind(PRESETS["cylinder"], "L", [0.3, 0.6]) is None
    assert of_kind(PRESETS["micrometer"], "kPa", [20.0]) is None
    assert of_kind(PRESETS["infrared"], "°C", [150.0]) == Meter("infrared thermometer", 2.0, 0.0, 0.1)


def test_any_finer_meter_has_no_price_and_the_rest_costs_nothing():
    meter = typical("ohm", 0.01)
    found = winding_resistance([9.95], meter=meter, conductor="unknown")
    money = {one.key: one.money for one in remedies(found, meter=meter, readings=1, part=Part())}
    assert money.pop("meter") is None
    assert set(money.values()) == {0.0}
