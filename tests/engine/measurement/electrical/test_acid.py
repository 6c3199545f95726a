"""Density of battery acid: the published correction by temperature, the lowest cell, what is refused."""

import math

import pytest

from knowngood.engine.measurement.electrical.acid import PER_HALF_K, PER_K, acid_density
from knowngood.engine.measurement.meters.instruments import Meter

FLOAT = Meter("float", 0, 0.5, 0.005)
# Acid's temperature in °F, and what is added to the reading.
ADDED = (
    (160, 0.032), (150, 0.028), (140, 0.024), (130, 0.020), (120, 0.016), (110, 0.012), (100, 0.008), (90, 0.004),
    (80, 0.0), (70, -0.004), (60, -0.008), (50, -0.012), (40, -0.016), (20, -0.024), (10, -0.028), (0, -0.032),
)  # fmt: skip


def celsius(fahrenheit):
    return (fahrenheit - 32) / 1.8


@pytest.mark.published("US Army TM 5-4210-230-14&P-1: .004 for 10 °F from 80 °F; 0 to 160 °F worked by hand")
@pytest.mark.parametrize(("fahrenheit", "added"), ADDED)
def test_what_the_acids_warmth_adds(fahrenheit, added):
    found = acid_density([1.2], meter=FLOAT, acid_c=(celsius(fahrenheit), 0.1), limits_c=celsius(80))
    assert found.value - 1.2 == pytest.approx(added, abs=0.0005)


@pytest.mark.published("US Army TM 5-4210-230-14&P-1: .004 for 10 °F from 80 °F; two readings worked by hand")
@pytest.mark.parametrize(("read", "fahrenheit", "corrected"), [(1.250, 20, 1.226), (1.235, 100, 1.243)])
def test_worked_examples(read, fahrenheit, corrected):
    found = acid_density([read], meter=FLOAT, acid_c=(celsius(fahrenheit), 0.1), limits_c=celsius(80))
    assert found.value == pytest.approx(corrected, abs=0.0005)


@pytest.mark.published("0.0007 for 1 °C from 20 °C: common practice, no source")
def test_the_other_printed_coefficient_lies_within_the_doubt():
    assert abs(PER_K - 0.0007) <= PER_HALF_K


def test_the_lowest_cell_counts():
    found = acid_density([1.265, 1.190, 1.260], meter=FLOAT, acid_c=(20.0, 1.0), limits_c=20.0, reading_id="7")
    assert found.value == pytest.approx(1.190)
    assert [row.key for row in found.rows if row.key.endswith("/digits")] == ["reading:7/2/digits"]


def test_what_nobody_stated_is_wide_and_marked():
    stated = acid_density([1.25], meter=FLOAT, acid_c=(20.0, 2.0), limits_c=20.0)
    found = acid_density([1.25], meter=FLOAT)
    assert {row.key for row in found.rows if row.assumed} == {"reading:reading/acid", "reading:reading/limits"}
    assert not [row for row in stated.rows if row.assumed]
    acid = next(row for row in found.rows if row.key.endswith("/acid"))
    assert abs(acid.contribution) == pytest.approx(15.0 * PER_K / math.sqrt(3))


@pytest.mark.parametrize(
    ("read", "message"),
    [
        ([], "there is no reading. Give one number for each cell, in their order."),
        ([1.26, 0.0],
         "a density of 0 kg/L is not above zero. Draw acid until the float swims free, and read at eye level."),
    ],
)  # fmt: skip
def test_refused_in_the_mechanics_words(read, message):
    with pytest.raises(ValueError, match=r"\.$") as refused:
        acid_density(read, meter=FLOAT)
    assert str(refused.value) == message
