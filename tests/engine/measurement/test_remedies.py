"""What could be done, and that doing it leaves what was promised."""

import pytest

from knowngood.engine.judgement import Band, Estimate, Remedy, Row, judge
from knowngood.engine.measurement.instruments import Meter, finer, typical
from knowngood.engine.measurement.plain import plain_quantity
from knowngood.engine.measurement.remedies import CONTACT_THERMOMETER_K, Way, by_ways, remedies
from knowngood.engine.measurement.resistance import Part, winding_resistance

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
    assert settle["meter"] > 0.5


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
