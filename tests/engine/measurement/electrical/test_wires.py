"""Voltages and currents on a vehicle: what scales, what only adds, and what says nothing."""

import math

import pytest

from knowngood.engine.judgement import Band, Verdict, judge
from knowngood.engine.measurement.electrical.wires import (
    BURDEN_V,
    CHARGING_WAYS,
    DROP_WAYS,
    ELSEWHERE_V,
    PARASITIC_WAYS,
    SUPPLY_V,
    charging_voltage,
    parasitic_current,
    voltage_drop,
)
from knowngood.engine.measurement.meters.instruments import Meter, typical
from knowngood.engine.measurement.readings.remedies import by_ways

BLUE = Meter("blue", 0.5, 2, 0.01)
FINE = Meter("fine", 1.0, 3, 0.001)


def rows(estimate):
    return {row.key: abs(row.contribution) for row in estimate.rows}


def assumed(estimate):
    return {row.says for row in estimate.rows if row.assumed}


def test_a_drop_alone_is_judged_as_it_was_read():
    found = voltage_drop([0.31, 0.33], meter=BLUE, reading_id="7")
    assert found.value == pytest.approx(0.32)
    assert rows(found) == pytest.approx({
        "reading:7/scatter": 0.01, "reading:7/digits": 0.02 / math.sqrt(3),
        "meter:blue/gain": 0.32 * 0.005 / math.sqrt(3),
    })  # fmt: skip
    assert assumed(found) == set()


@pytest.mark.parametrize(("flowed", "wanted", "value"), [(40.0, 50.0, 0.4), (100.0, 50.0, 0.16), (50.0, 50.0, 0.32)])
def test_a_drop_grows_with_the_current(flowed, wanted, value):
    found = voltage_drop([0.32], meter=BLUE, load_a=(flowed, 2.0), at_load_a=(wanted, None))
    assert found.value == pytest.approx(value)
    assert rows(found)["reading:reading/load"] == pytest.approx(value * 2.0 / flowed / math.sqrt(3), rel=1e-9)


def test_currents_enter_with_their_doubt():
    found = voltage_drop([0.32], meter=BLUE, load_a=(40.0, 2.0), at_load_a=(50.0, 5.0))
    assert rows(found)["reading:reading/at_load"] == pytest.approx(0.4 * 0.1 / math.sqrt(3))
    assert assumed(found) == set()


def test_a_current_that_nobody_read_is_wide_and_can_be_read():
    found = voltage_drop([0.19], meter=BLUE, at_load_a=(50.0, None))
    assert assumed(found) == {"current while it was read, 50 ± 25 A"}
    ways = by_ways(found, DROP_WAYS)
    judged = judge(found, Band(None, 0.2, "V"), remedies=ways)
    assert judged.verdict is Verdict.CANT_TELL
    assert [one.key for one in judged.settle] == ["load"]
    assert ways[0].after == pytest.approx({"reading:reading/load": 0.1 * rows(found)["reading:reading/load"]})


def test_a_current_without_a_tolerance_gets_ours():
    found = voltage_drop([0.32], meter=BLUE, load_a=(40.0, None), at_load_a=(40.0, None))
    assert assumed(found) == {"current while it was read, 40 ± 4 A"}


def test_a_current_that_the_limit_does_not_name_changes_nothing():
    alone, told = (voltage_drop([0.32], meter=BLUE, load_a=load) for load in (None, (40.0, 2.0)))
    assert told == alone


@pytest.mark.parametrize("low", [-0.01, -0.02])
def test_a_hair_below_zero_is_the_display(low):
    assert voltage_drop([low, 0.0], meter=BLUE).value == pytest.approx(0.5 * low)


def test_a_coarse_display_does_not_let_swapped_probes_pass():
    with pytest.raises(ValueError, match="the other way round"):
        voltage_drop([-0.4], meter=typical("V", 0.1))


@pytest.mark.parametrize(
    ("read", "arguments", "message"),
    [
        ([0.0], {"load": "off"},
         "with the load off no current flows, and without current a bad wire drops nothing. "
         "Switch the load on and read while it runs."),
        ([-0.31], {},
         "a reading of -0.31 V is below zero: the probes are the other way round. Swap them and read again."),
        ([0.3], {"load_a": (0.0, None)},
         "a load of 0 A: that is not above zero. Write the current that flows while you read, such as 45 A, "
         "or leave it empty."),
        ([0.3], {"load_a": (4.0, 5.0)},
         "a load of 4 ± 5 A: that is not above zero. Write the current that flows while you read, such as 45 A, "
         "or leave it empty."),
        ([0.3], {"load_a": (4.0, 1.0), "at_load_a": (-50.0, None)},
         "limits for -50 A: that is not above zero. Write the current that the manual's limit is for, such as 45 A, "
         "or leave it empty."),
        ([], {}, "the readings: there is no reading. Give one or more numbers, as the display showed them."),
    ],
)  # fmt: skip
def test_drops_refused(read, arguments, message):
    with pytest.raises(ValueError, match=r"\.$") as refused:
        voltage_drop(read, meter=BLUE, **arguments)
    assert str(refused.value) == message


def test_charging_at_the_posts_is_what_was_read():
    found = charging_voltage([14.21, 14.19], meter=BLUE)
    assert found.value == pytest.approx(14.2)
    assert found.standard_uncertainty == pytest.approx(
        math.hypot(0.01, 0.02 / math.sqrt(3), 14.2 * 0.005 / math.sqrt(3))
    )


def test_charging_read_elsewhere_is_anything_from_there_up():
    posts, socket = (charging_voltage([13.7], meter=BLUE, place=place) for place in ("posts", "elsewhere"))
    assert socket.value - posts.value == pytest.approx(0.5 * ELSEWHERE_V)
    assert assumed(socket) == {"lost on the way from the posts, up to 0.5 V"}
    assert judge(posts, Band(13.8, None, "V")).verdict is Verdict.OUT
    judged = judge(socket, Band(13.8, None, "V"), remedies=by_ways(socket, CHARGING_WAYS))
    assert judged.verdict is Verdict.CANT_TELL
    assert [one.key for one in judged.settle] == ["posts"]


@pytest.mark.parametrize(
    ("read", "engine", "message"),
    [
        (12.6, "off",
         "with the engine off this is the battery alone, not its charging. Start the engine and read again, "
         "or judge the rested battery's charge."),
        (-14.2, "running",
         "a reading of -14.2 V is below zero: the probes are the other way round. Swap them and read again."),
        (0.0, "running",
         "a reading of 0 V is not above zero: look for the meter's range and for the probes' contact, and read again."),
    ],
)  # fmt: skip
def test_charging_refused(read, engine, message):
    with pytest.raises(ValueError, match=r"\.$") as refused:
        charging_voltage([read], meter=BLUE, engine=engine)
    assert str(refused.value) == message


def test_asleep_and_through_a_clamp_it_is_what_was_read():
    found = parasitic_current([0.032], meter=FINE, locked_min=60, burden_v=0.0)
    assert found.value == pytest.approx(0.032)
    assert assumed(found) == set()


@pytest.mark.parametrize("locked_min", [None, 0.0, 10.0, 59.0])
def test_read_too_early_it_is_anything_up_to_the_reading(locked_min):
    early = parasitic_current([0.3], meter=FINE, locked_min=locked_min, burden_v=0.0)
    assert early.interval(0.95) == pytest.approx((0.0075, 0.2925), abs=0.003)
    assert assumed(early) == {"what is still awake, up to all of it"}
    judged = judge(early, Band(None, 0.05, "A"), remedies=by_ways(early, PARASITIC_WAYS))
    assert judged.verdict is Verdict.CANT_TELL
    assert judged.settle[0].key == "sleep"


def test_what_is_low_enough_awake_is_low_enough_asleep():
    early = parasitic_current([0.03], meter=FINE)
    assert judge(early, Band(None, 0.05, "A")).verdict is Verdict.WITHIN


def test_the_manual_says_when_it_sleeps():
    assert assumed(parasitic_current([0.3], meter=FINE, locked_min=20, sleep_min=15, burden_v=0.0)) == set()


def test_the_meters_burden_only_hides_current():
    plain, stated, unknown = (
        parasitic_current([0.032], meter=FINE, locked_min=90, burden_v=burden) for burden in (0.0, 0.02, None)
    )
    for found, burden_v in ((stated, 0.02), (unknown, BURDEN_V)):
        assert found.value == pytest.approx(plain.value * (1.0 + 0.5 * burden_v / SUPPLY_V))
        assert rows(found)["meter:fine/burden"] == pytest.approx(0.032 * 0.5 * burden_v / SUPPLY_V / math.sqrt(3))
    assert assumed(stated) == set()
    assert assumed(unknown) == {"voltage that the meter takes, up to 0.3 V"}
    assert by_ways(stated, PARASITIC_WAYS) != []


@pytest.mark.parametrize(
    ("read", "arguments", "message"),
    [
        (-0.03, {},
         "a reading of -0.03 A is below zero: the meter's leads are the other way round, or something charges the "
         "battery. Swap them and read again."),
        (0.0, {},
         "a reading of 0 A is below one step of the display, or the meter's fuse is blown: every battery that is "
         "connected gives a few mA. Read a small lamp's current to try the fuse, then take a finer range."),
        (0.03, {"locked_min": -5.0},
         "locked -5 min ago is in the future. Write the minutes since it was locked."),
        (0.03, {"burden_v": 12.0},
         "a burden of 12 V is outside 0 to 2 V: behind it the modules would start anew. "
         "Read the voltage across the meter's own two sockets, or leave it empty."),
    ],
)  # fmt: skip
def test_currents_refused(read, arguments, message):
    with pytest.raises(ValueError, match=r"\.$") as refused:
        parasitic_current([read], meter=FINE, **arguments)
    assert str(refused.value) == message


@pytest.mark.parametrize("factor", [1e-3, 1e3])
def test_another_unit_changes_no_verdict(factor):
    here, there = (
        judge(
            voltage_drop([0.19 * k], meter=Meter("m", 0.5, 2, 0.01 * k), load_a=(45.0, 5.0), at_load_a=(50.0, None)),
            Band(None, 0.2 * k, "V"),
        )
        for k in (1.0, factor)
    )
    assert there.probability_inside == pytest.approx(here.probability_inside, abs=1e-9)


@pytest.mark.parametrize("doubts", [(1.0, 5.0), (5.0, 15.0)])
def test_more_doubt_makes_no_verdict_clearer(doubts):
    sure, less = (
        judge(
            voltage_drop([0.23], meter=typical("V", 0.01), load_a=(45.0, off), at_load_a=(45.0, None)),
            Band(None, 0.2, "V"),
        ).probability_inside
        for off in doubts
    )
    assert abs(less - 0.5) <= abs(sure - 0.5)


def test_nothing_is_offered_that_moves_nothing():
    assert by_ways(voltage_drop([0.3], meter=BLUE), DROP_WAYS) == []
