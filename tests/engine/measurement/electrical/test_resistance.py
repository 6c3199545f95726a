"""Winding resistance: published factors, reference cases, and what must be refused."""

import math

import pytest
from GTC import type_a

from knowngood.engine.judgement import Band, Shape, Verdict, combine, judge
from knowngood.engine.judgement.decide import STATED_DIFFERENCE
from knowngood.engine.measurement.electrical.resistance import (
    CONDUCTORS,
    COPPER_PER_C,
    Part,
    resistance_at_reference,
    winding_resistance,
)
from knowngood.engine.measurement.meters.instruments import Meter

# Celsius to factor; the maker rounds copper's coefficient to 0.004.
PRINTED = {5: 1.064, 10: 1.042, 35: 0.943, 60: 0.862, 100: 0.758}
BLUE = Meter("blue", 0.8, 3, 0.1)


def celsius(value, half_width):
    return Part(value, half_width, assumed=False)


@pytest.mark.published("IEC 60228:2004, temperature factors kt, as reprinted (rounds copper to 0.004)")
@pytest.mark.parametrize(("part_c", "factor"), PRINTED.items())
def test_printed_factor(part_c, factor):
    assert resistance_at_reference(1.0, part_c, per_c=0.004) == pytest.approx(factor, abs=0.0005)
    assert resistance_at_reference(1.0, part_c) == pytest.approx(factor, rel=0.006)


@pytest.mark.published("GOST 22483-2021, annex (adopts IEC 60228): copper by 234.5, aluminium by 228")
@pytest.mark.parametrize("part_c", [-10.0, 0.0, 35.0, 90.0])
@pytest.mark.parametrize(("metal", "zero_c"), [("copper", 234.5), ("aluminium", 228.0)])
def test_the_other_form_of_the_same_line(part_c, metal, zero_c):
    found = resistance_at_reference(100.0, part_c, per_c=CONDUCTORS[metal].per_c)
    assert found == pytest.approx(100.0 * (zero_c + 20.0) / (zero_c + part_c), rel=2e-4)


@pytest.mark.published("IEC 60028:1925, copper's .00393 per °C, and IEC 60034-1's 235 °C: 96.22 and 200 ohm, by hand")
def test_two_pairs_of_resistances():
    assert resistance_at_reference(100.0, 30.0) == pytest.approx(96.22, abs=0.005)
    cold = resistance_at_reference(210.0, 32.75, per_c=1.0 / (235.0 + 20.0))
    assert cold == pytest.approx(200.0, abs=0.05)


CASES = {
    "A": (BLUE, [14.9, 15.0, 14.9, 15.0, 14.9], [0.3, 0.3, 0.4], celsius(35, 3), (11.7, 13.3),
          (13.7935, 0.2588, 0.0283, Verdict.OUT)),
    "B": (BLUE, [0.9, 0.9, 1.0, 0.9, 0.9], [0.3, 0.2, 0.3], celsius(25, 3), (0.4, 0.6),
          (0.6407, 0.2433, 0.272, Verdict.CANT_TELL)),
    "C": (Meter("four wires", 0.1, 5, 0.001), [0.713, 0.715, 0.712, 0.714, 0.713], [0.112, 0.113, 0.112],
          celsius(25, 1), (0.4, 0.6), (0.58948, 0.00427, 0.9931, Verdict.WITHIN)),
}  # fmt: skip


@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
def test_coil(case):
    """Ours, run with two implementations of the linear law."""
    meter, read, leads, part, (lower, upper), (value, u, probability, verdict) = case
    found = winding_resistance(read, meter=meter, zero_ohm=leads, part=part, seed=1)
    assert found.value == pytest.approx(value, abs=6e-5)
    assert found.standard_uncertainty == pytest.approx(u, abs=6e-5)
    judged = judge(found, Band(lower, upper, "ohm"))
    assert judged.probability_linear == pytest.approx(probability, abs=0.0005)
    assert judged.difference < STATED_DIFFERENCE
    assert judged.verdict is verdict


def test_the_warm_relay_coil():
    found = winding_resistance(
        [100.9, 101.2, 101.1], meter=BLUE, zero_ohm=[0.4], part=celsius(48, 4), reading_id="7", seed=1
    )
    assert found.value == pytest.approx(90.7, abs=0.05)
    assert found.standard_uncertainty == pytest.approx(0.89, abs=0.005)
    assert {row.key for row in found.rows} == {
        "reading:7/scatter", "reading:7/digits", "reading:7/leads/digits", "meter:blue/gain", "reading:7/part",
        "reading:7/leads/step", "conductor:copper",
    }  # fmt: skip
    assert not any(row.assumed for row in found.rows)


def test_a_reading_alone_assumes_the_rest():
    found = winding_resistance([101.0], meter=Meter("typical", 0.8, 5, 0.1, assumed=True), conductor="unknown")
    assert {row.name for row in found.rows if row.assumed} == {
        "display, the readings", "percent of the meter", "test leads", "temperature of the part", "what it is wound of",
    }  # fmt: skip
    assert judge(found, Band(80.0, 95.0, "ohm")).verdict is Verdict.CANT_TELL


def test_resistance_alloy_is_not_corrected_like_copper():
    found = winding_resistance([12.0], meter=BLUE, zero_ohm=[0.2], part=celsius(80, 4), conductor="alloy")
    assert found.value == pytest.approx(11.8)
    row = next(row for row in found.rows if row.key == "conductor:alloy")
    assert abs(row.contribution) == pytest.approx(11.8 * 60 * 0.0002 / math.sqrt(3), rel=1e-6)


def test_digits_cancel_only_when_the_meter_says_so():
    both = [
        winding_resistance([0.9], meter=Meter("m", 0.8, 3, 0.1, digits_cancel=cancel), zero_ohm=[0.3],
                           part=celsius(20, 0))
        for cancel in (False, True)
    ]  # fmt: skip
    wide, narrow = (one.standard_uncertainty for one in both)
    gain = 0.6 * 0.008 / math.sqrt(3)
    steps = 0.05 * math.sqrt(2 / 3)
    assert narrow == pytest.approx(math.hypot(gain, steps), rel=1e-3)
    assert wide == pytest.approx(math.hypot(gain, steps, 0.3 * math.sqrt(2 / 3)), rel=1e-3)


def test_equal_readings_hide_their_scatter_in_one_step():
    found = winding_resistance([0.9] * 5, meter=Meter("m", 0.0, 0, 0.1), zero_ohm=[0.3, 0.4], part=celsius(20, 0))
    row = next(row for row in found.rows if row.key.endswith("reading/step"))
    expected = type_a.estimate_digitized([0.9] * 5, 0.1)
    assert row.contribution == pytest.approx(expected.u, rel=1e-9)
    assert (row.degrees_of_freedom, row.shape) == (expected.df, Shape.RECTANGULAR)
    assert row.contribution == pytest.approx(0.0288675, abs=5e-8)


def test_two_readings_by_one_meter_share_its_gain():
    coils = [
        winding_resistance([read], meter=BLUE, zero_ohm=[0.4], part=celsius(20, 0), reading_id=name)
        for read, name in ((50.4, "a"), (52.4, "b"))
    ]
    ratio = combine([(52.0, coils[0]), (-50.0, coils[1])])
    assert next(row.contribution for row in ratio.rows if row.key == "meter:blue/gain") == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize(("read", "value"), [(0.45, 0.175), (0.2, 0.1), (5.0, 4.7)])
def test_assumed_leads_are_never_more_than_the_reading(read, value):
    found = winding_resistance([read], meter=BLUE, part=celsius(20, 0))
    assert found.value == pytest.approx(value)


@pytest.mark.parametrize("factor", [0.1, 10.0])
def test_limits_for_another_temperature(factor):
    assert resistance_at_reference(10.0 * factor, 48.0, reference_c=48.0) == pytest.approx(10.0 * factor)
    there = resistance_at_reference(10.0, 48.0, reference_c=30.0)
    assert there == pytest.approx(resistance_at_reference(10.0, 48.0) * (1 + COPPER_PER_C * 10.0))


@pytest.mark.parametrize(
    ("read", "arguments", "message"),
    [
        ([0.0], {}, "a reading of 0 ohm is not above zero. Read again, and write the leads down apart from it."),
        ([], {}, "the readings: there is no reading. Give one or more numbers, as the display showed them."),
        ([0.4], {"zero_ohm": [0.5]},
         "the probes read 0.5 ohm touching and 0.4 ohm at the part: nothing is left for the part. "
         "Clean the probes, press them together and read the leads again."),
        ([5.0], {"zero_ohm": [-0.1]},
         "the probes cannot read below zero when they touch. Write what the display showed, such as 0.3 ohm."),
        ([5.0], {"part": Part(-240.0, 3.0)},
         "a part at -240 ± 3 °C reaches outside -60 to 250 °C, where this correction holds. "
         "Check the temperature and its unit."),
        ([5.0], {"reference_c": 680.0},
         "limits stated for 680 °C; this correction holds from -60 to 250 °C. Check the temperature and its unit."),
        ([5.0], {"conductor": "gold"},
         '"gold" is not a conductor known here. Take one of copper, aluminium, alloy, unknown.'),
    ],
)  # fmt: skip
def test_refused_in_the_mechanics_words(read, arguments, message):
    with pytest.raises(ValueError, match=r"\.$") as refused:
        winding_resistance(read, meter=BLUE, **arguments)
    assert str(refused.value) == message
