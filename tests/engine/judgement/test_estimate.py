"""Estimates: intervals, rows by key, JSON, sums."""

import json
import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from knowngood.engine.judgement import Estimate, Input, Row, Shape, combine, covariance, propagate

finite = st.floats(-1e6, 1e6)
rows = st.builds(
    Row,
    key=st.text(min_size=1, max_size=8),
    contribution=finite,
    degrees_of_freedom=st.one_of(st.just(math.inf), st.floats(1.0, 500.0)),
    shape=st.sampled_from(list(Shape)),
    assumed=st.booleans(),
    remedies=st.lists(st.text(max_size=4), max_size=2).map(tuple),
    name=st.text(max_size=8),
    input_uncertainty=st.one_of(st.none(), st.floats(0.001, 10.0)),
    group=st.text(max_size=2),
)
estimates = st.builds(
    Estimate,
    finite,
    st.sampled_from(["ohm", "V"]),
    st.lists(rows, max_size=5, unique_by=lambda row: row.key).map(tuple),
    st.one_of(
        st.none(), st.builds(lambda low, step: tuple(low + step * k for k in range(199)), finite, st.floats(0, 9))
    ),
)


@settings(deadline=None)
@given(estimates)
def test_an_estimate_comes_back_from_strict_json(estimate):
    assert Estimate.from_json(json.loads(json.dumps(estimate.to_json(), allow_nan=False))) == estimate


def test_a_row_that_was_kept_before_there_were_groups_has_its_own():
    row = Row("reading:1/scatter", 0.1, 4, Shape.STUDENT_T)
    kept = {name: value for name, value in row.to_json().items() if name != "group"}
    assert Row.from_json(kept) == row


def of(value, **contributions):
    return Estimate(value, "ohm", tuple(Row(key, size) for key, size in contributions.items()))


@settings(deadline=None)
@given(finite, st.floats(0.001, 100.0), st.floats(0.001, 100.0))
def test_what_two_readings_share_cancels_in_their_difference(value, gain, own):
    one, other = of(value, gain=gain, own=own), of(value, gain=gain)
    found = combine([(1.0, one), (-1.0, other)])
    assert found.value == 0.0
    assert found.standard_uncertainty == pytest.approx(own)
    assert covariance(one, other) == pytest.approx(gain**2)
    assert covariance(one, one) == pytest.approx(one.standard_uncertainty**2)


def test_a_sum_weighs_and_shifts():
    found = combine([(2.0, of(1.0, a=0.3)), (1.0, of(5.0, a=-0.2, b=0.1))], offset=0.5, unit="V")
    assert (found.value, found.unit) == (7.5, "V")
    assert {row.key: row.contribution for row in found.rows} == pytest.approx({"a": 0.4, "b": 0.1})


def test_nothing_to_combine_is_refused():
    with pytest.raises(ValueError, match="nothing to combine") as refused:
        combine([])
    assert str(refused.value) == "nothing to combine; at least one estimate is needed."


def test_one_estimate_scaled_keeps_its_quantiles():
    flat = propagate(lambda x: x, [Input("x", 2.0, Shape.RECTANGULAR, 1.0)], unit="ohm", seed=1)
    turned = combine([(-2.0, flat)], offset=1.0)
    assert turned.interval(0.9) == pytest.approx([1.0 - 2.0 * end for end in reversed(flat.interval(0.9))])


series = st.lists(
    st.builds(lambda size, group, dof: (size, group, dof), st.floats(0.01, 10.0), st.sampled_from(["", "a", "b"]),
              st.sampled_from([1.0, 2.0, 5.0, math.inf])),
    min_size=1, max_size=6,
)  # fmt: skip


@settings(deadline=None)
@given(series)
def test_a_group_counts_like_one_row_as_large_as_all_of_it(parts):
    """With one number of degrees of freedom for each group, as a series of readings has."""
    dofs = {group: dof for _, group, dof in parts if group}
    rows = [Row(f"r{k}", size, dofs.get(group, dof), group=group) for k, (size, group, dof) in enumerate(parts)]
    alone = [row for row in rows if not row.group]
    joined = [
        Row(f"group {group}", math.hypot(*(row.contribution for row in rows if row.group == group)), dof)
        for group, dof in dofs.items()
    ]
    one, other = (Estimate(0.0, "V", tuple(each)) for each in (rows, [*alone, *joined]))
    assert one.standard_uncertainty == pytest.approx(other.standard_uncertainty, rel=1e-12)
    assert one.degrees_of_freedom == pytest.approx(other.degrees_of_freedom, rel=1e-12)
    ungrouped = Estimate(0.0, "V", tuple(replace(row, group="") for row in rows))
    assert one.degrees_of_freedom <= ungrouped.degrees_of_freedom * (1.0 + 1e-12)
    assert one.degrees_of_freedom >= min(row.degrees_of_freedom for row in rows) * (1.0 - 1e-12)


@settings(deadline=None)
@given(st.lists(st.floats(-20.0, 20.0), min_size=2, max_size=30), st.sampled_from([1.0, 4.0, math.inf]), st.booleans())
def test_probability_below_never_falls(places, dof, drawn):
    inputs = [Input("x", 1.0, Shape.RECTANGULAR, 1.0), Input("y", 0.0, Shape.STUDENT_T, None, 0.5, dof)]
    found = propagate(lambda x, y: x + y * y, inputs, unit="V", seed=1, draws=2000)
    one = found if drawn else replace(found, quantiles=None)
    below = [one.below(x) for x in sorted(places)]
    assert below == sorted(below)
    assert 0.0 <= below[0] <= below[-1] <= 1.0


shared = st.dictionaries(st.sampled_from("abcdef"), st.floats(-10.0, 10.0), max_size=6)


@settings(deadline=None)
@given(st.lists(shared, min_size=1, max_size=5), st.lists(st.floats(-3.0, 3.0), min_size=5, max_size=5))
def test_covariance_by_common_keys_is_a_covariance(each, weights):
    """Symmetric, of no negative variance, and what a sum's variance is made of."""
    found = [of(0.0, **sizes) for sizes in each]
    matrix = np.array([[covariance(one, other) for other in found] for one in found])
    assert (matrix == matrix.T).all()
    assert np.linalg.eigvalsh(matrix).min() >= -1e-12 * max(1.0, np.trace(matrix))
    w = np.array(weights[: len(found)])
    whole = combine(list(zip(w.tolist(), found, strict=True)))
    assert whole.standard_uncertainty**2 == pytest.approx(float(w @ matrix @ w), rel=1e-9, abs=1e-9)
    for row in whole.rows:
        parts = [weight * sizes.get(row.key, 0.0) for weight, sizes in zip(w, each, strict=True)]
        assert row.contribution == pytest.approx(math.fsum(parts), abs=1e-12)


def test_assumed_in_one_is_assumed_in_the_sum():
    known, guessed = Row("meter/gain", 0.1, input_uncertainty=0.01), Row("meter/gain", 0.1, assumed=True)
    found = combine([(1.0, Estimate(1.0, "ohm", (known,))), (1.0, Estimate(1.0, "ohm", (guessed,)))])
    assert found.rows == (Row("meter/gain", 0.2, assumed=True),)


def test_probability_below_joins_the_tails_to_the_kept_quantiles():
    flat = propagate(lambda x: x, [Input("x", 0.0, Shape.RECTANGULAR, 1.0)], unit="ohm", seed=1)
    assert flat.quantiles is not None
    places = [-5.0, -0.999, flat.quantiles[0], -0.5, 0.0, 0.5, flat.quantiles[-1], 0.999, 5.0]
    found = [flat.below(x) for x in places]
    assert found == sorted(found)
    assert found[2:7] == pytest.approx([0.005, 0.25, 0.5, 0.75, 0.995], abs=0.005)
    assert found[0] < 1e-10
    assert found[-1] > 1.0 - 1e-10


@pytest.mark.parametrize("probability", [1e-6, 0.001, 0.005, 0.3, 0.5, 0.9, 0.995, 0.9999])
def test_quantile_is_the_way_back_of_below(probability):
    flat = propagate(lambda x: x, [Input("x", 0.0, Shape.RECTANGULAR, 1.0)], unit="ohm", seed=1)
    for one in (flat, of(3.0, a=0.4)):
        assert one.below(one.quantile(probability)) == pytest.approx(probability, rel=1e-6)


def test_without_doubt_it_is_a_step():
    sure = Estimate(3.0, "ohm")
    assert [sure.below(x) for x in (2.9, 3.0, 3.1)] == [0.0, 0.5, 1.0]
    assert sure.interval() == (3.0, 3.0)
    assert sure.degrees_of_freedom == math.inf


def test_the_budget_lists_the_largest_first():
    assert [row.key for row in of(1.0, small=0.1, large=-3.0, middle=0.5).budget] == ["large", "middle", "small"]


@pytest.mark.parametrize(
    ("given_", "message"),
    [
        ({"shape": Shape.NORMAL, "half_width": 1.0},
         "x: an error of normal shape is given by its standard_uncertainty alone, from 0 up."),
        ({"shape": Shape.RECTANGULAR, "standard_uncertainty": 1.0},
         "x: an error of rectangular shape is given by its half_width alone, from 0 up."),
        ({"shape": Shape.TRIANGULAR, "half_width": -1.0},
         "x: an error of triangular shape is given by its half_width alone, from 0 up."),
        ({"standard_uncertainty": math.inf}, "x: 2 within inf; both must be plain numbers."),
        ({"standard_uncertainty": 1.0, "degrees_of_freedom": 0.0},
         "x: 0 degrees of freedom; at least 1 is needed."),
    ],
)  # fmt: skip
def test_an_input_that_means_nothing_is_refused(given_, message):
    with pytest.raises(ValueError, match="x:") as refused:
        Input("x", 2.0, **given_)
    assert str(refused.value) == message
