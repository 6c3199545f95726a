"""Errors carried on by key: the same as the straight law over the inputs themselves."""

import pytest

from knowngood.engine.fluids.carried import carried, stated
from knowngood.engine.judgement import Input, Shape, combine, linear

GAIN = Input("jug:blue", 1.0, Shape.RECTANGULAR, 0.05)


def pour(litre):
    mark = Input(f"mark {litre}", 0.0, Shape.RECTANGULAR, 0.05)
    return linear(lambda gain, mark: litre * gain + mark, [GAIN, mark], unit="L")


def test_as_the_straight_law_over_all_inputs():
    marks = [Input(f"mark {litre}", 0.0, Shape.RECTANGULAR, 0.05) for litre in (2.0, 5.0)]
    whole = linear(lambda gain, one, other: (2.0 * gain + one) / (5.0 * gain + other) ** 2, [GAIN, *marks], unit="1")
    found = carried(lambda a, b: a / b**2, [pour(2.0), pour(5.0)], unit="1")
    assert found.value == pytest.approx(whole.value)
    assert {row.key: row.contribution for row in found.rows} == pytest.approx(
        {row.key: row.contribution for row in whole.rows}
    )


def test_a_sum_is_what_combine_makes():
    found = carried(lambda a, b: a - b, [pour(2.0), pour(5.0)], unit="L")
    other = combine([(1.0, pour(2.0)), (-1.0, pour(5.0))])
    assert (found.value, found.standard_uncertainty) == pytest.approx((other.value, other.standard_uncertainty))


def test_what_is_stated_has_one_row():
    found = stated("total", 8.0, 0.4, unit="L", name="total", assumed=True, remedy="manual")
    (row,) = found.rows
    assert (row.key, row.assumed, row.remedies) == ("total", True, ("manual",))
    assert row.contribution == pytest.approx(0.4 / 3**0.5)


def test_what_is_exact_has_no_row():
    assert stated("total", 8.0, 0.0, unit="L").rows == ()
