"""How far readings usually scatter: one, two and three follow on from each other, and no draw is the person's fault."""

import math
from statistics import fmean

import numpy as np
import pytest
from tests.acts.toolboxes import boxed
from tests.quantities.handed import judged

from knowngood import units
from knowngood.acts.readings.judging import DIFFER, as_json, judge_typed
from knowngood.engine.judgement.distribution import t_quantile
from knowngood.engine.measurement.meters.instruments import USUAL, Meter, Repeat, reading_inputs
from knowngood.quantities.known import QUANTITIES, example_words
from knowngood.quantities.repeats import APART, BY_QUANTITY, BY_UNIT, usual_scatter

ONE = Repeat(size=1.0)


@pytest.mark.published("GUM (JCGM 100:2008), 4.2.4, pooled estimate of variance; the arithmetic by hand")
@pytest.mark.parametrize(
    ("values", "variance", "dof"),
    [([5.0], 1.0, 2.0), ([5.0, 5.0], 2.0 / 3.0, 3.0), ([4.0, 6.0], (2.0 + 2.0) / 3.0, 3.0), ([4, 5, 6], 1.0, 4.0)],
)
def test_what_is_usual_and_what_showed_are_pooled_by_their_degrees_of_freedom(values, variance, dof):
    assert ONE.pooled(values, step=0.0) == (pytest.approx(math.sqrt(variance)), dof)


def test_without_it_only_what_showed_counts():
    meters = (Meter("m", 0, 0, 0, repeat=one) for one in (None, ONE))
    bare, usual = (reading_inputs([4.0, 6.0], meter, key="k", name="n")[0] for meter in meters)
    assert (bare.u, bare.degrees_of_freedom) == (pytest.approx(1.0), 1)
    assert (usual.u, usual.degrees_of_freedom) == (pytest.approx(math.sqrt(2.0 / 3.0)), 3.0)


# Of the true scatter over the usual one, the coverage of the 95 % range that is enough.
ENOUGH = {0.3: 0.95, 1.0: 0.95, 2.0: 0.88, 3.0: 0.82}


@pytest.mark.parametrize("count", range(1, 7))
@pytest.mark.parametrize(("true", "enough"), ENOUGH.items())
def test_the_range_covers_for_one_to_six_readings_and_several_true_scatters(count, true, enough, rounds):
    draws = rounds(4_000)
    read = np.random.default_rng(count).normal(0.0, true, (draws, count))
    seen = read.var(axis=1, ddof=1) if count > 1 else np.zeros(draws)
    dof = ONE.degrees_of_freedom + count - 1
    u = np.sqrt((ONE.degrees_of_freedom + (count - 1) * seen) / dof / count)
    example = ONE.pooled(read[0].tolist(), step=0.0)  # the same arithmetic as the engine's
    assert (u[0] * math.sqrt(count), dof) == (pytest.approx(example[0]), example[1])
    covered = np.mean(np.abs(read.mean(axis=1)) <= t_quantile(0.975, dof) * u)
    assert covered >= enough - 3.0 * math.sqrt(enough * (1.0 - enough) / draws)


def half_width(mean, step):
    """Half of the 95 % range of Student's t and a rectangle together, both drawn."""
    draw = np.random.default_rng(1)
    of_mean = mean.u * draw.standard_t(mean.degrees_of_freedom, 4_000)
    return np.quantile(np.abs(of_mean + step.half_width * draw.uniform(-1.0, 1.0, 4_000)), 0.95)


@pytest.mark.parametrize("count", range(1, 7))
@pytest.mark.parametrize(("true", "enough"), {0.0: 0.95, 0.3: 0.95, 0.5: 0.93, 1.0: 0.88}.items())
def test_it_covers_what_a_coarse_display_shows_as_well(count, true, enough, rounds):
    """True scatter in steps of the display; the step is neither forgotten where it hides all, nor as wide as two."""
    draw, covered, widths = np.random.default_rng(count), 0, []
    meter = Meter("m", 0, 0, 1.0, repeat=Repeat(steps=0.5))
    draws = rounds(60)
    for _ in range(draws):
        value = 100.0 + draw.uniform()
        shown = np.round(value + true * draw.standard_normal(count)).tolist()
        mean, _, step = reading_inputs(shown, meter, key="k", name="n")
        widths.append(half_width(mean, step))
        covered += abs(mean.value - value) <= widths[-1]
    assert covered / draws >= enough - 3.0 * math.sqrt(enough * (1.0 - enough) / draws)
    assert count == 1 or true > 0.5 or np.mean(widths) < 1.4


def spread(quantity, values, share):
    """The example's readings again, moved so that their standard deviation is so many times the usual one."""
    usual = usual_scatter(quantity.name, quantity.reads.unit)
    step = share * usual.standard_deviation(fmean(values), step=0.0) or share * 0.01 * abs(fmean(values))
    return [fmean(values) + step * side / math.sqrt(2.0) for side in (1.0, -1.0)]


REPEATED = sorted(set(QUANTITIES) - set(APART))


@pytest.mark.parametrize("name", REPEATED)
@pytest.mark.parametrize("share", [0.3, 1.0, 10.0])
def test_two_readings_that_differ_are_judged_and_never_refused(name, share):
    quantity = QUANTITIES[name]
    typed = example_words(quantity)
    read = units.readings(typed["read"], quantity.reads, unit=quantity.read_unit or None)
    two = spread(quantity, read.values, share)
    shown = " ".join(f"{units.to_unit(one, read.unit):.9g}" for one in two)
    found = judge_typed({**typed, "read": f"{shown} {read.unit}"}, reading_id="7")
    assert any(row.key == "reading:7/scatter" for row in found.estimate.rows)
    assert (found.differ == DIFFER) == (share == 10.0)


@pytest.mark.parametrize("name", REPEATED)
def test_one_two_and_three_readings_follow_on_from_each_other(name):
    """Readings that agree as such readings do never make it less sure; the doubt falls with each."""
    quantity = QUANTITIES[name]
    typed = example_words(quantity)
    read = units.readings(typed["read"], quantity.reads, unit=quantity.read_unit or None)
    one = units.to_unit(fmean(read.values), read.unit)
    found = [
        judge_typed({**typed, "read": " ".join([f"{one:.9g}"] * count) + f" {read.unit}"}, reading_id="7").estimate
        for count in (1, 2, 3)
    ]
    rows = [next(row for row in each.rows if row.key == "reading:7/scatter") for each in found]
    assert [row.degrees_of_freedom for row in rows] == [2.0, 3.0, 4.0]
    assert abs(rows[0].contribution) > abs(rows[1].contribution) > abs(rows[2].contribution)
    widths = [high - low for low, high in (each.interval(0.95) for each in found)]
    assert widths[0] >= 0.98 * widths[1]
    assert widths[1] >= 0.98 * widths[2]


CHARGING = {"quantity": "charging_voltage", "limits": "13.8..14.36 V", "meter": "0.5 % + 2 digits, 0.01 V"}


def test_a_second_honest_reading_does_not_undo_a_clear_answer():
    found = [
        judge_typed({**CHARGING, "read": read}, reading_id="7").judgement
        for read in ("14.21 V", "14.21 14.24 V", "14.21 14.24 14.22 V")
    ]
    assert [one.verdict.value for one in found] == ["within limits"] * 3
    assert found[0].probability_inside < found[1].probability_inside < found[2].probability_inside


@pytest.mark.parametrize("read", ["12.5 V", "12.5 12.5 V", "12.4 12.5 V"])
def test_a_finer_display_leaves_what_readings_by_it_usually_scatter(read):
    """What a remedy promises is what is known once it is done: judged by that meter, had it shown the same."""
    coarse = {"limits": "min 12.45 V", "read": read, "meter": "0.2 %, 0.1 V"}
    told = next(one for one in judge_typed(coarse, reading_id="7").judgement.settle if one.key == "meter")
    then = judge_typed({**coarse, "meter": "0.05 %, 0.01 V"}, reading_id="7").estimate
    assert told.uncertainty == pytest.approx(then.standard_uncertainty, rel=1e-6)


def test_an_own_meter_with_a_finer_display_leaves_as_little():
    fine = ("instrument_added", {"name": "fine", "line": "0.05 %, 0.01 V"})
    coarse = {"limits": "min 12.4 V", "read": "12.5 V", "meter": "0.2 %, 0.1 V"}
    found = judge_typed(coarse, reading_id="7", toolbox=boxed(fine)).judgement.settle
    then = judge_typed({**coarse, "meter": "fine"}, reading_id="7", toolbox=boxed(fine)).estimate
    told = next(one for one in found if one.key == "own:fine")
    assert told.uncertainty == pytest.approx(then.standard_uncertainty, rel=1e-6)


@pytest.mark.parametrize("count", [2, 3, 6])
def test_the_step_is_known_as_well_as_the_scatter_that_it_hides(count):
    shown = reading_inputs([5.0] * count, Meter("m", 0, 0, 0.1, repeat=ONE), key="k", name="n")
    assert {one.degrees_of_freedom for one in shown if one.u and one.key != "k/digits"} == {count + 1.0}


@pytest.mark.parametrize(
    ("read", "size"),
    # By hand: 0.1 % of the reading and half a step, as squares.
    [("14.20 V", "0.015 V"), ("14200 mV", "15 mV")],
)
def test_a_single_reading_says_what_scatter_is_assumed(read, size):
    assumed = as_json(judged(QUANTITIES["charging_voltage"], read=read, meter="0.1 %, 0.01 V"))["assumed"]
    assert assumed == [f"{USUAL}, about {size} (ours)"]


@pytest.mark.parametrize("name", sorted(QUANTITIES))
def test_each_quantity_has_a_usual_scatter_or_says_what_its_readings_are_instead(name):
    rows = [row.key for row in judged(QUANTITIES[name]).estimate.rows]
    assert ("reading:7/scatter" in rows) != bool(APART.get(name))


def test_every_kind_that_is_known_says_how_far_its_readings_scatter():
    assert {quantity.reads.unit for quantity in QUANTITIES.values()} <= set(BY_UNIT)
    assert set(BY_QUANTITY) <= set(REPEATED)
    assert set(APART) <= set(QUANTITIES)
