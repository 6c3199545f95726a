"""How fluids grow: printed values, an independent library, and what must hold for every fluid."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from knowngood.engine.fluids.densities import coolant_density, oil_factor, water_density
from knowngood.engine.fluids.expansion import LIQUIDS, coolant, oil, plain, volume_at, volume_between, water
from knowngood.engine.judgement import Input, Shape, propagate

LB_FT3 = 0.016018463

VCF = {
    (0.85, 0.0): 1.01104, (0.85, 20.0): 0.99630, (0.85, 40.0): 0.98144, (0.85, 60.0): 0.96646, (0.85, 80.0): 0.95137,
    (0.85, 100.0): 0.93619, (0.87, 40.0): 0.98187, (0.87, 60.0): 0.96723, (0.82, 40.0): 0.98075, (0.82, 60.0): 0.96522,
    (0.90, 40.0): 0.98247, (0.90, 60.0): 0.96833,
}  # fmt: skip
PRINTED = {(40, 50): 67.47, (70, 50): 67.05, (140, 50): 65.75, (210, 50): 63.99, (40, 40): 66.59, (70, 40): 66.20}


@pytest.mark.published("API MPMS 11.1, lubricating oils: the formula worked by hand, no printed table was at hand")
@pytest.mark.parametrize(("where", "factor"), VCF.items())
def test_oil_factor(where, factor):
    kg_per_l, celsius = where
    assert oil_factor(celsius, kg_per_l) == pytest.approx(factor, abs=0.5e-5)


@pytest.mark.published("API MPMS 11.1 in customary units (K1 0.34878 over the density at 60 °F), as reprinted")
@pytest.mark.parametrize("kg_per_l", [0.82, 0.85, 0.90])
@pytest.mark.parametrize("fahrenheit", [0.0, 104.0, 212.0])
def test_oil_growth_by_the_customary_form(kg_per_l, fahrenheit):
    at_60_f = kg_per_l * oil_factor((60.0 - 32.0) / 1.8, kg_per_l)

    def factor(at_f):
        warmer = 0.34878 / (1000.0 * at_60_f) * (at_f - 60.0)
        return np.exp(-warmer * (1.0 + 0.8 * warmer))

    ours = oil(kg_per_l).relative((fahrenheit - 32.0) / 1.8)
    assert ours == pytest.approx(factor(68.0) / factor(fahrenheit), abs=2e-5)


def test_oil_grows_by_about_what_the_trade_reckons_with():
    """7 parts in 10 000 for 1 °C: common practice, no source."""
    assert volume_at(100.0, 20.0, 40.0, liquid=LIQUIDS["engine oil"]) - 100.0 == pytest.approx(1.4, abs=0.1)


@pytest.mark.published("ASHRAE handbook of fundamentals, density of ethylene glycol by volume, as reprinted")
@pytest.mark.parametrize(("where", "printed"), PRINTED.items())
def test_coolant_density(where, printed):
    fahrenheit, percent = where
    assert coolant_density((fahrenheit - 32.0) / 1.8, percent) / LB_FT3 == pytest.approx(printed, abs=0.005)


@pytest.mark.published("ASHRAE, 50 % ethylene glycol: 1.041 from 20 to 90 °C")
def test_coolant_grows():
    assert coolant(50.0).relative(90.0) == pytest.approx(1.041, abs=0.0005)


@pytest.mark.published("CoolProp, its brine AEG, fitted by others: growth to 0.0002, density to 0.15 %")
@pytest.mark.parametrize("percent", [10.0, 30.0, 40.0, 50.0, 60.0])
@pytest.mark.parametrize("celsius", [5.0, 40.0, 60.0, 95.0])
def test_coolant_against_a_library(percent, celsius):
    props = pytest.importorskip("CoolProp.CoolProp").PropsSI
    name = f"INCOMP::AEG[{percent / 100.0}]"
    here, at_20 = (props("D", "T", 273.15 + t, "P", 101325.0, name) / 1000.0 for t in (celsius, 20.0))
    assert coolant(percent).relative(celsius) == pytest.approx(at_20 / here, abs=2e-4)
    assert coolant_density(celsius, percent) == pytest.approx(here, rel=1.5e-3)


@pytest.mark.published("CoolProp, its brine AEG below freezing of water")
def test_coolant_on_a_cold_morning():
    props = pytest.importorskip("CoolProp.CoolProp").PropsSI
    here, at_20 = (props("D", "T", 273.15 + t, "P", 101325.0, "INCOMP::AEG[0.5]") for t in (-20.0, 20.0))
    assert coolant(50.0).relative(-20.0) == pytest.approx(at_20 / here, abs=3e-4)


@pytest.mark.published(
    "Bettin and Spieweck's formula for water, 1990, as IP standard methods 1998, appendix G, prints it"
)
@pytest.mark.parametrize("celsius", [0.0, 4.0, 20.0, 25.0, 50.0, 60.0, 70.0, 100.0])
def test_water(celsius):
    """Its own doubt is 0.006 kg/m³; temperatures are of 1990's scale, ours of 1968's."""
    polynomial = (999.83952, 16.952577, -7.9905127e-3, -46.241757e-6, 105.84601e-9, -281.03006e-12)
    printed = sum(factor * celsius**power for power, factor in enumerate(polynomial)) / (1.0 + 16.887236e-3 * celsius)
    assert 1000.0 * water_density(celsius) == pytest.approx(printed, abs=0.02)


@pytest.mark.published("CoolProp, water by IAPWS-95")
@pytest.mark.parametrize("celsius", [5.0, 20.0, 60.0, 95.0])
def test_water_against_a_library(celsius):
    props = pytest.importorskip("CoolProp.CoolProp").PropsSI
    assert water_density(celsius) == pytest.approx(
        props("D", "T", 273.15 + celsius, "P", 101325.0, "Water") / 1000.0, rel=2e-5
    )


@pytest.mark.published("ASHRAE's column of 0 % glycol, against Kell's water of 1975: to .02 %")
@pytest.mark.parametrize("celsius", [10.0, 40.0, 80.0])
def test_coolant_without_glycol_is_water(celsius):
    assert coolant_density(celsius, 0.0) == pytest.approx(water_density(celsius), rel=2e-4)


def test_five_litres_read_hot_are_less_when_cold():
    found = volume_between(5.0, 60.0, 20.0, liquid=oil(0.85))
    assert found.value == pytest.approx(4.850, abs=0.0005)
    assert {row.key for row in found.rows} == {"liquid:oil/of", "liquid:oil/curve"}


def test_an_unknown_density_is_wide_and_marked():
    known = volume_between(5.0, 60.0, 20.0, liquid=oil(0.86))
    assumed = volume_between(5.0, 60.0, 20.0, liquid=LIQUIDS["engine oil"])
    assert assumed.standard_uncertainty > known.standard_uncertainty
    assert next(row for row in assumed.rows if row.key.endswith("/of")).assumed
    assert not next(row for row in known.rows if row.key.endswith("/of")).assumed


def test_the_doubt_of_a_growth_is_the_growths_own():
    """Nothing at 20 °C, and 5 % of what it grew beyond."""
    rows = {row.key: row.contribution for row in volume_between(10.0, 20.0, 80.0, liquid=oil(0.85)).rows}
    grown = 10.0 * (oil(0.85).relative(80.0) - 1.0)
    assert rows["liquid:oil/curve"] == pytest.approx(0.05 * grown / 3**0.5)


@pytest.mark.parametrize("name", ["engine oil", "coolant", "unknown"])
def test_straight_law_and_draws_agree(name):
    """One branch-free curve serves floats, complex numbers and arrays."""
    liquid = LIQUIDS[name]
    warm = Input("warm", 60.0, Shape.RECTANGULAR, 20.0)
    found = propagate(lambda t, of, off: volume_at(5.0, t, 20.0, liquid=liquid, of=of, off=off),
                      [warm, *liquid.inputs], unit="L", seed=1)  # fmt: skip
    low, high = found.interval(0.9)
    u = found.standard_uncertainty
    assert found.value - 2.0 * u < low < found.value < high < found.value + 2.0 * u


MODELS = st.one_of(
    st.sampled_from(sorted(LIQUIDS)).map(LIQUIDS.__getitem__),
    st.floats(0.8, 1.16).map(oil),
    st.floats(0.0, 60.0).map(coolant),
)
WARM = st.floats(5.0, 99.0)


@given(MODELS, st.floats(0.01, 100.0), WARM, WARM)
def test_there_and_back(liquid, litre, from_c, to_c):
    there = volume_at(litre, from_c, to_c, liquid=liquid)
    assert volume_at(there, to_c, from_c, liquid=liquid) == pytest.approx(litre, rel=1e-12)


@given(MODELS, st.floats(0.01, 100.0), WARM, WARM, st.floats(0.1, 10.0))
def test_twice_as_much_grows_twice_as_much(liquid, litre, from_c, to_c, times):
    one = volume_at(litre, from_c, to_c, liquid=liquid)
    assert volume_at(times * litre, from_c, to_c, liquid=liquid) == pytest.approx(times * one, rel=1e-12)


@given(MODELS, WARM, st.floats(0.5, 50.0))
def test_warmer_is_never_less(liquid, celsius, warmer_k):
    assert liquid.relative(celsius + warmer_k) >= liquid.relative(celsius)


OILS_AND_COOLANTS = st.one_of(st.floats(0.82, 0.92).map(oil), st.floats(30.0, 60.0).map(coolant))


@given(OILS_AND_COOLANTS, st.floats(20.0, 99.0))
def test_the_unknown_is_wide_enough_for_oils_and_coolants(liquid, celsius):
    unknown = LIQUIDS["unknown"]
    low, high = (unknown.relative(celsius, unknown.of + side * unknown.half_width) for side in (-1.0, 1.0))
    assert low <= liquid.relative(celsius) <= high


def test_many_at_once():
    celsius = np.array([20.0, 40.0, 60.0])
    for liquid in LIQUIDS.values():
        assert liquid.relative(celsius) == pytest.approx([liquid.relative(float(one)) for one in celsius])


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: oil(0.74),
         "an oil of 0.74 kg/L; the curve for lubricating oils holds from 0.8 to 1.16 kg/L. Take the density at 15 °C "
         "from the data sheet; fuel has a curve of its own."),
        (lambda: coolant(70.0),
         "70 % glycol by volume; our table goes from 0 to 60 %, and above that a mixture cools worse and freezes "
         "sooner again. Check the figure; thin it with water."),
        (lambda: volume_between(1.0, 20.0, 190.0, liquid=oil(0.86)),
         "oil at 190 °C: how it grows is known from -50 to 150 °C. Check the reading and its unit."),
        (lambda: volume_between(1.0, 130.0, 20.0, liquid=water()),
         "water at 130 °C: how it grows is known from 0 to 100 °C. Check the reading and its unit."),
        (lambda: volume_between(0.0, 20.0, 40.0, liquid=plain("fuel", 9e-4, 1e-4)),
         "a volume of 0 L; write what was read, above zero."),
    ],
)  # fmt: skip
def test_refused_in_the_mechanics_words(call, message):
    with pytest.raises(ValueError, match=r"\.$") as refused:
        call()
    assert str(refused.value) == message
