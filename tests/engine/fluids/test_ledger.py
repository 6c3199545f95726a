import pytest
from hypothesis import given
from hypothesis import strategies as st

from knowngood.engine.fluids.ledger import EXPANSIONS, Expansion, Moved, Way, balance

OIL = EXPANSIONS["oil"]
EXACT = Expansion(0.0, 0.0)


def test_nothing_moved_owes_nothing():
    owed = balance([], OIL)
    assert (owed.value, owed.standard_uncertainty) == (0.0, 0.0)


@pytest.mark.published("API MPMS 11.1, lubricating oils, as cited by a secondary page")
@pytest.mark.parametrize("density", [820.0, 850.0, 870.0, 900.0])
def test_the_oil_row_covers_usual_densities(density):
    assert abs(0.6278 / density - OIL.per_k) <= OIL.half_width


@pytest.mark.published("ASHRAE, density of 50 % ethylene glycol, as reprinted")
def test_the_coolant_row_covers_its_growth_from_20_to_90():
    coolant = EXPANSIONS["coolant"]
    assert abs(0.041 / 70.0 - coolant.per_k) <= coolant.half_width


def test_five_litres_read_hot_are_less_when_cold():
    # 5.000 L read at 60 °C is 4.850 L at 20 °C for oil of 850 kg/m³ (calculated from the published formula).
    assert balance([Moved(Way.OUT, 5.0, 60.0)], OIL).value == pytest.approx(4.850, abs=0.015)


def test_spilled_counts_as_gone():
    moved = [Moved(Way.OUT, 4.0, 20.0), Moved(Way.SPILLED, 0.5, 20.0), Moved(Way.IN, 4.2, 20.0)]
    assert balance(moved, EXACT).value == pytest.approx(0.3)


def test_each_pouring_has_its_own_jug_error_and_all_share_the_expansion():
    owed = balance([Moved(Way.OUT, 4.0, 40.0), Moved(Way.IN, 4.0, 40.0)], OIL)
    keys = [row.key for row in owed.rows]
    assert keys.count("expansion") == 1
    assert {"pouring 1/jug", "pouring 2/jug"} <= set(keys)
    shared = next(row for row in owed.rows if row.key == "expansion")
    assert shared.contribution == pytest.approx(0.0, abs=1e-12)


def test_an_unknown_temperature_is_wide_and_marked():
    known, unknown = (balance([Moved(Way.OUT, 4.0, at)], OIL) for at in (50.0, None))
    rows = {row.key: row for row in unknown.rows}
    assert rows["pouring 1/temperature"].assumed
    assert unknown.standard_uncertainty > known.standard_uncertainty
    assert not {row.key: row for row in known.rows}["pouring 1/temperature"].assumed


def test_a_jug_of_one_per_cent_is_taken_as_stated():
    assert balance([Moved(Way.OUT, 4.0, 20.0)], EXACT, jug_percent=1.0).standard_uncertainty == pytest.approx(
        0.04 / 3**0.5
    )


def test_a_volume_of_zero_is_refused():
    with pytest.raises(ValueError, match=r"^0 L out; write what the jug showed, above zero\.$"):
        Moved(Way.OUT, 0.0)


POURED = st.builds(Moved, st.sampled_from(Way), st.floats(0.1, 20.0), st.one_of(st.none(), st.floats(-20.0, 110.0)))


@given(st.lists(POURED, max_size=6))
def test_turning_every_pouring_round_turns_the_balance_round(moved):
    known = [one for one in moved if one.celsius is not None]
    turned = [Moved(Way.OUT if one.way is Way.IN else Way.IN, one.litre, one.celsius) for one in known]
    assert balance(turned, OIL).value == pytest.approx(-balance(known, OIL).value, abs=1e-9)
