"""One winding cold and hot: the correction taken back, and a gap to copper judged."""

import math

import pytest

from knowngood.engine.judgement import Estimate, Row, Verdict
from knowngood.engine.measurement.electrical.copper import as_read, fits_copper
from knowngood.engine.measurement.electrical.resistance import Part, winding_resistance
from knowngood.engine.measurement.meters.instruments import Meter
from knowngood.engine.measurement.readings.relations import copper_gap, winding_c

METER = Meter("blue", 0.8, 2, 0.01)


def read(ohm, celsius, *, conductor="copper", reference_c=20.0, half_k=2.0):
    part = Part(celsius, half_k, assumed=False)
    found = winding_resistance(
        [ohm], meter=METER, zero_ohm=[0.2], part=part, conductor=conductor, reference_c=reference_c, reading_id=f"{ohm}"
    )
    return as_read(found, part_c=celsius, conductor=conductor, reference_c=reference_c)


@pytest.mark.published("IEC 60034-1, temperature by resistance: (235 + 20) x 210/200 - 235 = 32.75 °C, by hand")
def test_what_was_corrected_to_20_gives_the_rise_of_the_standard():
    """200 mohm at 20 °C, 210 mohm warm: 32.75 °C."""
    cold, hot = (as_read(Estimate(ohm / (1.0 + 0.00393 * (c - 20.0)), "ohm"), part_c=c) for ohm, c in
                 ((0.200, 20.0), (0.210, 33.0)))  # fmt: skip
    assert winding_c(cold, hot, cold_part=Part(20.0, 0.0)).value == pytest.approx(32.75, abs=0.005)


@pytest.mark.published(
    "IEC 60028:1925, copper's .00393 per °C, from memory: 96.22 ohm at 20 °C are 100 ohm at 30 °C, by hand"
)
def test_a_pair_of_resistances():
    assert as_read(Estimate(96.22, "ohm"), part_c=30.0).value == pytest.approx(100.0, abs=0.006)


@pytest.mark.parametrize("conductor", ["copper", "unknown"])
@pytest.mark.parametrize("reference_c", [20.0, 65.0])
def test_the_correction_drops_out_altogether(conductor, reference_c):
    found = read(14.2, 48.0, conductor=conductor, reference_c=reference_c)
    assert found.value == pytest.approx(14.0)
    # What is left is the meter: its percent of what is left, its digits and half a step of part and leads each.
    left = math.hypot(0.008 * 14.0, 0.02, 0.02, 0.005, 0.005) / 3**0.5
    assert found.standard_uncertainty == pytest.approx(left, rel=1e-6)


def test_a_shared_gain_drops_out_of_the_gap():
    gap = copper_gap(read(14.2, 20.0), read(16.4, 60.0), cold_part=Part(20.0, 0.0), hot_part=Part(60.0, 0.0))
    gain = next((row.contribution for row in gap.rows if row.key.endswith("/gain")), 0.0)
    assert gain == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize(
    ("gap_k", "verdict"),
    [(0.0, Verdict.WITHIN), (6.0, Verdict.WITHIN), (8.0, Verdict.CANT_TELL), (-8.0, Verdict.CANT_TELL),
     (10.0, Verdict.OUT), (-10.0, Verdict.OUT)],
)  # fmt: skip
def test_a_fifth_of_the_warming_may_be_something_else(gap_k, verdict):
    band, judgement = fits_copper(Estimate(gap_k, "K", (Row("doubt", 1.0),)), 40.0)
    assert (band.lower, band.upper, band.width_ours) == (-8.0, 8.0, True)
    assert judgement.verdict is verdict


def test_without_warming_nothing_shows():
    with pytest.raises(ValueError, match=r"\.$") as refused:
        fits_copper(Estimate(0.0, "K"), 0.0)
    assert str(refused.value) == (
        "the warm winding is 0 K warmer than the cold one, and only warming shows what it is wound of. "
        "Warm it, and read its temperature again."
    )
