"""What the same instrument was last seen to show is offered again, and nothing else."""

import pytest

from knowngood.acts.readings.offers import last_used, offers, told
from knowngood.acts.record.entries import Entry
from knowngood.acts.record.take import take
from knowngood.demo import runs_hot

JOB, BLUE = "job/runs-hot", "blue meter"
COIL = {"limit": "coil", "meter": BLUE, "zero": "0.4"}


@pytest.fixture
def garage(demo_garage):
    return demo_garage


def judge(garage, number, stream=JOB, **fields):
    return take(garage, Entry(f"{number:032x}", stream, "reading_judged", fields))


def offered(garage, field, unit="ohm", meter=BLUE):
    return offers(told(garage), field, unit).get(meter, ())


def test_the_newest_three_that_differ_are_offered_as_they_were_written(garage):
    judge(garage, 1, **COIL, read="100.9 101.0")
    judge(garage, 2, **COIL, read="101.0 101,10 99.8")
    assert offered(garage, "read") == ("99.8", "101,10", "101.0")
    assert offered(garage, "zero") == ("0.4",)


def test_readings_of_the_bench_and_of_other_jobs_count_as_well(garage):
    judge(garage, 1, "toolbox", limits="80..95 ohm", read="88.1", zero="0.2 ohm", meter=BLUE)
    judge(garage, 2, **COIL, read="90.0")
    assert offered(garage, "zero") == ("0.4", "0.2")
    assert offered(garage, "read", "Ω") == ("90.0", "88.1")


def test_another_instrument_another_unit_and_an_assumed_one_are_kept_apart(garage):
    judge(garage, 1, "toolbox", limits="80..95 ohm", read="88.1", zero="0.2", meter=BLUE)
    judge(garage, 2, "toolbox", limits="80..95 ohm", read="77.7", zero="0.9")
    assert offered(garage, "zero", "kΩ") == ()
    assert offered(garage, "zero", meter="grey meter") == ()
    assert offers(told(garage), "zero", "ohm") == {BLUE: ("0.2",)}
    assert offers(told(garage), "read", "V") == {runs_hot.VOLTS: ("12.44", "12.43", "0.04")}


def test_what_was_taken_back_is_not_offered(garage):
    judge(garage, 1, **COIL, read="1009")
    take(garage, Entry(f"{2:032x}", JOB, "withdrawn", {"event": f"{1:032x}"}))
    assert offered(garage, "read") == ()


def test_a_field_that_shows_no_unit_offers_nothing(garage):
    judge(garage, 1, **COIL, read="100.9")
    assert offered(garage, "read", "") == ()


def test_the_last_used_of_the_named_ones_is_chosen(garage):
    judge(garage, 1, **COIL, read="100.9")
    readings = told(garage)
    assert last_used(readings, [runs_hot.VOLTS, BLUE]) == BLUE
    assert last_used(readings, [runs_hot.VOLTS]) == runs_hot.VOLTS
    assert last_used(readings, ["grey meter"]) is None
