"""Coolant: printed freezing points, a library, the sums of a mixture, and what is refused."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from knowngood.engine.fluids.carried import stated
from knowngood.engine.fluids.coolant import (
    GLYCOL_KG_PER_L,
    Part,
    concentrate,
    freezing_point,
    mixture,
    share,
    share_for,
    to_fill,
    to_swap,
)
from knowngood.engine.judgement import Band, Verdict, judge


def part(litre, percent, *, half_l=0.1, half_percent=2.0, key="a"):
    return Part(stated(f"{key}/litre", litre, half_l, unit="L"), share(percent, half_percent, key=f"{key}/share"))


@pytest.mark.published("CoolProp 8.0, its brine AEG: 30, 40, 50, 60 % by volume")
@pytest.mark.parametrize(("percent", "celsius"), [(30, -15.7), (40, -24.8), (50, -37.1), (60, -52.0)])
def test_freezing_point(percent, celsius):
    assert freezing_point(float(percent)) == pytest.approx(celsius, abs=0.05)


@pytest.mark.published("CoolProp, its brine AEG, between the rows of our table")
@pytest.mark.parametrize("percent", [11.0, 23.7, 33.3, 41.2, 48.8, 58.9])
def test_between_the_rows(percent):
    props = pytest.importorskip("CoolProp.CoolProp").PropsSI
    there = props("T_FREEZE", "T", 300.0, "P", 101325.0, f"INCOMP::AEG[{percent / 100.0}]") - 273.15
    assert freezing_point(percent) == pytest.approx(there, abs=0.05)


@pytest.mark.published("ASTM D3306, from memory: a mixture of 50 % by volume freezes at -36.4 °C or colder")
def test_half_and_half_is_as_good_as_the_standard_asks():
    assert freezing_point(50.0) <= -36.4


@pytest.mark.published("Perry's chemical engineers' handbook, 8th edition, 2008: density of glycol, by chemicals")
def test_density_of_glycol():
    coefficients = pytest.importorskip("chemicals.volume").rho_data_Perry_8E_105_l.loc["107-21-1"]
    equation = pytest.importorskip("chemicals.dippr").EQ105
    mol_per_m3 = equation(293.15, *(coefficients[name] for name in ("C1", "C2", "C3", "C4")))
    assert mol_per_m3 * 62.068e-6 == pytest.approx(GLYCOL_KG_PER_L, abs=0.0005)


@given(st.floats(-52.0, 0.0))
def test_the_share_for_a_freezing_point_freezes_there(celsius):
    assert freezing_point(share_for(celsius)) == pytest.approx(celsius, abs=1e-9)


@given(st.floats(0.0, 59.0), st.floats(0.1, 1.0))
def test_more_glycol_freezes_colder(percent, more):
    assert freezing_point(percent + more) < freezing_point(percent)


def test_a_mixture_by_hand():
    found = mixture([part(2.0, 30.0), part(1.0, 94.0, key="b"), part(1.0, 0.0, key="c")])
    assert found.percent.value == pytest.approx((60.0 + 94.0) / 4.0)
    assert found.litre.value == pytest.approx(4.0)
    assert found.freezing.value == pytest.approx(freezing_point(38.5))


def test_the_doubt_of_a_mixture_row_by_row():
    found = mixture([part(2.0, 30.0), part(2.0, 60.0, key="b")]).percent
    rows = {row.key: row.contribution for row in found.rows}
    half = 3**-0.5
    expected = {
        "a/litre": -15.0 / 4.0 * 0.1 * half, "b/litre": 15.0 / 4.0 * 0.1 * half,
        "a/share": 0.5 * 2.0 * half, "b/share": 0.5 * 2.0 * half,
    }  # fmt: skip
    assert rows == pytest.approx(expected)


def test_one_bottle_twice_is_one_error():
    bottle = concentrate()
    found = mixture([Part(stated("one", 1.0, 0.0, unit="L"), bottle), part(3.0, 20.0)]).percent
    twice = [Part(stated(key, 0.5, 0.0, unit="L"), bottle) for key in ("one", "two")]
    assert mixture([*twice, part(3.0, 20.0)]).percent.standard_uncertainty == pytest.approx(found.standard_uncertainty)


def test_a_mixture_against_a_winter():
    found = mixture([part(3.0, 35.0, half_percent=5.0), Part(stated("new", 2.0, 0.1, unit="L"), concentrate())])
    assert judge(found.freezing, Band(None, -30.0, "°C")).verdict is Verdict.WITHIN


LITRE, HERE = st.floats(0.5, 15.0), st.floats(0.0, 55.0)


@given(LITRE, HERE, st.floats(1.0, 60.0))
def test_what_is_swapped_gives_the_wanted_share(litre, here, wanted):
    bottle = concentrate() if wanted >= here else share(0.0, 0.0, key="water")
    stayed = part(litre, here)
    amount = to_swap(stayed, wanted, bottle).value
    assert amount >= 0.0
    found = mixture([part(litre - amount, here), Part(stated("new", amount, 0.0, unit="L"), bottle)])
    assert found.percent.value == pytest.approx(wanted, abs=1e-9)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: freezing_point(65.0),
         "65 % glycol by volume; our table goes from 0 to 60 %, and above that a mixture cools worse and freezes "
         "sooner again. Check the figure; thin it with water."),
        (lambda: mixture([part(1.0, 90.0)]),
         "90 % glycol by volume; our table goes from 0 to 60 %, and above that a mixture cools worse and freezes "
         "sooner again. Check the figure; thin it with water."),
        (lambda: mixture([]), "nothing to mix; write what stayed in the circuit and what goes in."),
        (lambda: share_for(-60.0),
         "a freezing point of -60 °C; mixtures up to 60 % glycol freeze from 0 to -52.02 °C. Take the coldest night of "
         "the place, less a few degrees."),
        (lambda: share(120.0), "120 % glycol; a share lies from 0 to 100 %. Take it from the label."),
        (lambda: to_swap(part(4.0, 40.0), 50.0, share(50.0)),
         "from 40 % to 50 % by pouring in 50 %: that moves it the other way, or never gets there. Pour in concentrate "
         "for more glycol, water for less."),
        (lambda: to_swap(part(4.0, 40.0), 50.0, share(0.0)),
         "from 40 % to 50 % by pouring in 0 %: that moves it the other way, or never gets there. Pour in concentrate "
         "for more glycol, water for less."),
    ],
)  # fmt: skip
def test_refused_in_the_mechanics_words(call, message):
    with pytest.raises(ValueError, match=r"\.$") as refused:
        call()
    assert str(refused.value) == message


@pytest.mark.parametrize("wanted", [20.0, 35.0, 50.0])
def test_filled_as_told_the_mixture_has_the_wanted_share(wanted):
    stayed, room = Part(stated("left", 2.0, 0.2, unit="L"), share(30.0)), stated("room", 4.0, 0.1, unit="L")
    bottle = to_fill(stayed, room, wanted, concentrate())
    water = Part(stated("water", 4.0 - bottle.value, 0.0, unit="L"), share(0.0, 0.0, key="water"))
    found = mixture([stayed, Part(bottle, concentrate()), water])
    assert found.percent.value == pytest.approx(wanted)


@pytest.mark.parametrize(("here", "wanted", "way"), [(0.0, 60.0, "more concentrate than"), (60.0, 10.0, "only water")])
def test_a_room_that_cannot_reach_the_share_is_refused(here, wanted, way):
    stayed, room = Part(stated("left", 5.0, 0.2, unit="L"), share(here)), stated("room", 1.0, 0.1, unit="L")
    with pytest.raises(ValueError, match=f"it would take {way}"):
        to_fill(stayed, room, wanted, concentrate())
