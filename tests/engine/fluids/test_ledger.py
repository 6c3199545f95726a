"""The ledger at 20 °C: what is shared by vessel and thermometer, what litre for litre would do, what is refused."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from knowngood.engine.fluids.expansion import LIQUIDS, coolant, oil
from knowngood.engine.fluids.ledger import (
    BY_EYE,
    JUG,
    Moved,
    Vessel,
    Way,
    at_20,
    balance,
    litre_for_litre,
)
from knowngood.engine.judgement import Band, Verdict, judge

OIL = oil(0.85)
EXACT = Vessel("weighed", 0.0, 0.0, assumed=False)
CANS = Vessel("sealed cans", 1.0, 0.0, assumed=False)


def rows(estimate):
    return {row.key: row.contribution for row in estimate.rows}


def test_nothing_moved_owes_nothing():
    found = balance([], OIL)
    assert (found.owed.value, found.owed.standard_uncertainty, found.volumes) == (0.0, 0.0, ())


@pytest.mark.published("API MPMS 11.1, lubricating oils, 850 kg/m3: 5.000 L read at 60 °C is 4.850 L at 20 °C")
def test_five_litres_read_hot_are_less_when_cold():
    assert balance([Moved(Way.OUT, 5.0, 60.0)], OIL).owed.value == pytest.approx(4.850, abs=0.0005)


@pytest.mark.published("API MPMS 11.1: litre for litre, refilling cold what was drained at 60 °C overfills by 3 %")
def test_litre_for_litre_overfills_when_drained_hot():
    found = litre_for_litre([Moved(Way.OUT, 5.0, 60.0)], OIL, pour_c=20.0)
    assert found.plain_l == 5.0
    assert found.over.value / found.pour.value == pytest.approx(0.03, abs=0.005)
    assert judge(found.over, Band(0.0, None, "L")).verdict is Verdict.WITHIN


def test_litre_for_litre_is_right_at_one_temperature():
    found = litre_for_litre([Moved(Way.OUT, 5.0, 35.0)], OIL, pour_c=35.0)
    assert found.over.value == pytest.approx(0.0, abs=1e-12)


def test_poured_from_the_same_jug_its_error_drops_out():
    moved = [Moved(Way.OUT, 5.0, 60.0), Moved(Way.IN, 2.0, 20.0)]
    same = litre_for_litre(moved, OIL, pour_c=20.0)
    other = litre_for_litre(moved, OIL, pour_c=20.0, vessel=CANS)
    assert rows(same.pour)["jug:jug"] == pytest.approx(0.0, abs=1e-12)
    assert rows(other.pour)["jug:jug"] == pytest.approx(0.05 / 3**0.5 * other.pour.value)


def test_what_is_owed_warm_is_what_is_owed_at_20_grown():
    moved = [Moved(Way.OUT, 5.0, 60.0), Moved(Way.SPILLED, 0.3, 60.0), Moved(Way.IN, 4.0, 15.0)]
    found = litre_for_litre(moved, OIL, pour_c=30.0)
    assert found.pour.value == pytest.approx(balance(moved, OIL).owed.value * OIL.relative(30.0))
    assert found.plain_l == pytest.approx(1.3)


def test_spilled_and_left_count_as_gone():
    moved = [
        Moved(Way.OUT, 4.0, 20.0), Moved(Way.SPILLED, 0.5, 20.0), Moved(Way.LEFT, 0.25, 20.0), Moved(Way.IN, 4.2, 20.0),
    ]  # fmt: skip
    found = balance(moved, OIL)
    assert found.owed.value == pytest.approx(0.55)
    assert (found.gone.value, found.came_in.value) == (pytest.approx(4.75), pytest.approx(4.2))
    assert [one.value for one in found.volumes] == pytest.approx([4.0, 0.5, 0.25, 4.2])


def test_one_jug_has_one_error_and_each_reading_its_own_mark():
    found = balance([Moved(Way.OUT, 2.0, 20.0), Moved(Way.OUT, 3.0, 20.0)], OIL).owed
    assert rows(found)["jug:jug"] == pytest.approx(0.05 * 5.0 / 3**0.5)
    assert rows(found)["pouring 1/mark"] == rows(found)["pouring 2/mark"] == pytest.approx(0.05 / 3**0.5)


def test_out_and_in_by_one_jug_cancel():
    found = balance([Moved(Way.OUT, 4.0, 20.0), Moved(Way.IN, 4.0, 20.0)], OIL).owed
    assert rows(found)["jug:jug"] == pytest.approx(0.0, abs=1e-12)
    other = balance([Moved(Way.OUT, 4.0, 20.0), Moved(Way.IN, 4.0, 20.0, Vessel("other"))], OIL).owed
    assert other.standard_uncertainty > found.standard_uncertainty


def test_one_thermometer_has_one_error():
    both = balance([Moved(Way.OUT, 4.0, 60.0), Moved(Way.IN, 4.0, 60.0)], OIL).owed
    assert rows(both)["thermometer:thermometer"] == pytest.approx(0.0, abs=1e-12)
    assert rows(both)["pouring 1/temperature"] == pytest.approx(-rows(both)["pouring 2/temperature"])
    two = balance([Moved(Way.OUT, 4.0, 60.0), Moved(Way.IN, 4.0, 60.0, thermometer="probe")], OIL).owed
    assert rows(two)["thermometer:probe"] == pytest.approx(-rows(two)["thermometer:thermometer"])


def test_the_liquid_is_one_error_for_all():
    found = balance([Moved(Way.OUT, 4.0, 40.0), Moved(Way.IN, 4.0, 40.0)], LIQUIDS["engine oil"]).owed
    assert rows(found)["liquid:engine oil/of"] == pytest.approx(0.0, abs=1e-12)


def test_temperatures_nobody_took_are_wide_marked_and_alike():
    known, unknown = (balance([Moved(Way.OUT, 4.0, at), Moved(Way.OUT, 1.0, at)], OIL).owed for at in (50.0, None))
    (wide,) = (row for row in unknown.rows if row.key.startswith("temperature:"))
    assert (wide.key, wide.assumed, wide.remedies) == ("temperature:gone", True, ("temperature",))
    assert unknown.standard_uncertainty > known.standard_uncertainty
    assert unknown.value == pytest.approx(known.value)


def test_by_eye_unless_told_otherwise():
    assert {way: Moved(way, 1.0).read_in for way in Way} == {
        Way.OUT: JUG, Way.IN: JUG, Way.SPILLED: BY_EYE, Way.LEFT: BY_EYE,
    }  # fmt: skip
    weighed = at_20(Moved(Way.LEFT, 0.3, 20.0, EXACT), OIL)
    assert weighed.standard_uncertainty < at_20(Moved(Way.LEFT, 0.3, 20.0), OIL).standard_uncertainty


def test_straight_law_and_draws_agree_on_a_pouring_nobody_took_the_temperature_of():
    liquid = LIQUIDS["coolant"]
    one = Moved(Way.OUT, 4.0)
    by_law = at_20(one, liquid)
    generator = np.random.default_rng(1)
    of, off, gain, mark = (generator.uniform(-1.0, 1.0, 100_000) for _ in range(4))
    celsius = 50.0 + 40.0 * generator.uniform(-1.0, 1.0, 100_000)
    drawn = (4.0 * (1.0 + 0.05 * gain) + 0.05 * mark) / liquid.relative(celsius, 45.0 + 15.0 * of, 0.05 * off)
    assert by_law.value == pytest.approx(drawn.mean(), abs=0.01)
    assert by_law.standard_uncertainty == pytest.approx(drawn.std(), rel=0.1)


def test_more_than_the_circuit_holds_is_refused():
    with pytest.raises(ValueError, match=r"\.$") as refused:
        balance([Moved(Way.OUT, 1.0, 20.0), Moved(Way.IN, 46.0, 20.0)], OIL, total_l=8.0)
    assert str(refused.value) == (
        "pouring 2: 46 L went in, and the circuit holds 8 L in all. "
        "Check the reading and its unit, or the total in the manual."
    )


def test_all_of_it_read_hot_in_a_jug_that_shows_too_much_is_taken():
    assert balance([Moved(Way.OUT, 8.7, 80.0)], OIL, total_l=8.0).owed.value < 8.7


def test_a_volume_of_zero_is_refused():
    with pytest.raises(ValueError, match=r"^0 L out; write what the jug showed, above zero\.$"):
        Moved(Way.OUT, 0.0)


def test_a_temperature_off_the_curve_is_refused():
    with pytest.raises(ValueError, match=r"^coolant at 300 °C: how it grows is known from -25 to 120 °C\."):
        balance([Moved(Way.OUT, 4.0, 300.0)], coolant(50.0))
    with pytest.raises(ValueError, match=r"^coolant at 300 °C"):
        litre_for_litre([Moved(Way.OUT, 4.0, 30.0)], coolant(50.0), pour_c=300.0)


POURED = st.builds(Moved, st.sampled_from(Way), st.floats(0.1, 20.0), st.floats(-20.0, 110.0))


@given(st.lists(POURED, max_size=5))
def test_turning_every_pouring_round_turns_the_balance_round(moved):
    turned = [Moved(Way.OUT if one.way is Way.IN else Way.IN, one.litre, one.celsius) for one in moved]
    assert balance(turned, OIL).owed.value == pytest.approx(-balance(moved, OIL).owed.value, abs=1e-9)


@given(st.lists(POURED, max_size=5), st.floats(0.1, 5.0))
def test_pouring_what_is_owed_leaves_nothing_owed(moved, pour_c):
    missing = litre_for_litre([*moved, Moved(Way.OUT, 120.0, 20.0)], OIL, pour_c=pour_c).pour.value
    then = [*moved, Moved(Way.OUT, 120.0, 20.0), Moved(Way.IN, missing, pour_c)]
    assert balance(then, OIL).owed.value == pytest.approx(0.0, abs=1e-9)
