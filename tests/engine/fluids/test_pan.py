"""The pan: its surface, the place that is read, and what nobody measured."""

import math

import pytest

from knowngood.engine.fluids.pan import Where, pan


def test_as_taped():
    found = pan(length_mm=300.0, width_mm=200.0, along_mm=30.0, across_mm=40.0, free_share=1.0)
    assert found.area_mm2.value == pytest.approx(60_000.0)
    assert found.distance_mm.value == pytest.approx(50.0)
    rows = {row.key: row.contribution for row in found.area_mm2.rows}
    half = 10.0 / 3**0.5
    assert rows == pytest.approx({"pan/length": 200.0 * half, "pan/width": 300.0 * half})
    rows = {row.key: row.contribution for row in found.distance_mm.rows}
    assert rows == pytest.approx({"pan/along": 0.6 * half, "pan/across": 0.8 * half})


def test_what_nobody_measured_is_wide_and_assumed():
    found = pan()
    assert all(row.assumed for one in (found.area_mm2, found.distance_mm) for row in one.rows)
    low, high = found.area_mm2.interval(0.95)
    assert low < 45_000.0
    assert high > 100_000.0


def test_a_stick_stands_further_in_than_a_plug():
    plug, stick = (pan(length_mm=300.0, width_mm=200.0, read=read) for read in (Where.OVERFLOW, Where.DIPSTICK))
    assert (plug.across.value, stick.across.value) == (100.0, 50.0)
    assert math.isclose(plug.along.value, stick.along.value)


def test_read_right_in_the_middle():
    found = pan(length_mm=300.0, width_mm=200.0, along_mm=0.0, across_mm=0.0)
    assert found.distance_mm.value == 0.0
    assert found.distance_mm.standard_uncertainty > 0.0


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: pan(length_mm=0.0), "a pan 0 mm long; measure it with a tape, above zero."),
        (lambda: pan(width_mm=-1.0), "a pan -1 mm wide; measure it with a tape, above zero."),
        (lambda: pan(width_mm=200.0, across_mm=250.0),
         "read 250 mm across from the middle of a pan of 200 mm; measure both again."),
    ],
)  # fmt: skip
def test_refused_in_the_mechanics_words(call, message):
    with pytest.raises(ValueError, match=r"\.$") as refused:
        call()
    assert str(refused.value) == message
