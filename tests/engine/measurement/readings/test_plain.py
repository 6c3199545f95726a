"""A plain quantity: the display with what the instrument may be off."""

import math

import pytest

from knowngood.engine.judgement import Band, Verdict, judge
from knowngood.engine.measurement.meters.instruments import Meter, typical
from knowngood.engine.measurement.readings.plain import plain_quantity


def test_rows_add_up():
    found = plain_quantity([12.4, 12.5], unit="V", meter=Meter("blue", 0.5, 2, 0.1), reading_id="3", seed=1)
    expected = {
        "reading:3/scatter": 0.05, "reading:3/digits": 0.2 / math.sqrt(3),
        "meter:blue/gain": 12.45 * 0.005 / math.sqrt(3),
    }  # fmt: skip
    assert {row.key: row.contribution for row in found.rows} == pytest.approx(expected)
    assert (found.value, found.unit) == (pytest.approx(12.45), "V")


@pytest.mark.parametrize("unit", ["V", "mm", "kPa", "°C", "N·m", "L", "kg", "min"])
def test_any_kind_works_with_an_instrument_that_nobody_described(unit):
    found = plain_quantity([20.0, 20.5], unit=unit, meter=typical(unit, 0.5), seed=1)
    assert found.standard_uncertainty > 0.0
    assert any(row.assumed for row in found.rows)
    assert judge(found, Band(0.0, 1000.0, unit)).verdict is Verdict.WITHIN


def test_one_rectangle_alone_keeps_its_quantiles():
    found = plain_quantity([8.0], unit="mm", meter=Meter("caliper", 0.0, 0, 0.0, offset=0.05), seed=1)
    assert found.quantiles is not None
    assert found.interval(0.95) == pytest.approx((7.9525, 8.0475), abs=0.0005)


@pytest.mark.parametrize("factor", [1e-3, 25.4])
def test_another_unit_changes_no_verdict(factor):
    here, there = (
        judge(
            plain_quantity([7.95 * k, 8.0 * k], unit="mm", meter=Meter("caliper", 0.5, 1, 0.05 * k), seed=1),
            Band(7.9 * k, None, "mm"),
        )
        for k in (1.0, factor)
    )
    assert there.probability_inside == pytest.approx(here.probability_inside, abs=1e-9)
    assert there.verdict is here.verdict
