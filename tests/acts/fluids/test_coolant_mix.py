"""The mix of a coolant circuit: by hand and by the table of freezing points, event after event."""

import pytest
from tests.acts.fluid_jobs import Kept, with_circuit
from tests.garages import go_on_all_the_same
from tests.refusing import refused

from knowngood.acts.fluids.coolant_mix import coolant_mix
from knowngood.refusal import Refused

CIRCUIT = '{{name: "Coolant", fluid: {fluid}, holds: "6 L ± 0.2", refill: cap{more}}}'


@pytest.fixture
def kept(tmp_path):
    return with_circuit(tmp_path, CIRCUIT.format(fluid="coolant", more=""))


def moved(kept, way, litre, **more):
    kept.add("fluid_moved", circuit="c", way=way, amount=f"{litre} L", fluid_c="20 °C", **more)


def read(kept, **typed):
    kept.add("mix_read", circuit="c", **typed)


def told(kept):
    return coolant_mix(kept.job, "c")


def test_another_fluid_has_no_mix(tmp_path):
    kept = with_circuit(tmp_path, CIRCUIT.format(fluid="engine oil", more=""))
    assert told(kept) is None


@pytest.mark.published("CoolProp 8.0, its brine AEG: 30, 40, 50, 60 % by volume")
@pytest.mark.parametrize(("share", "freezes"), [(30, -15.7), (40, -24.8), (50, -37.1), (60, -52.0)])
def test_what_was_read_freezes_where_the_table_says(kept, share, freezes):
    read(kept, share=str(share))
    assert round(told(kept).freezing.value, 1) == freezes


def test_what_nobody_read_is_wide_and_marked(kept):
    found = told(kept)
    assert found.now.percent.value == 45.0
    assert [row.says for row in found.now.percent.budget if row.assumed] == ["share of glycol that nobody read"]
    assert found.data is None


def test_what_went_out_and_in_is_followed_in_order(kept):
    read(kept, share="40")
    moved(kept, "out", 3)
    moved(kept, "in", 2, mix="concentrate")
    moved(kept, "in", 1, mix="water")
    # By hand: (3 x 40 + 2 x 94 + 1 x 0) / 6 = 51.3 %.
    assert told(kept).now.percent.value == pytest.approx((3 * 40 + 2 * 94) / 6, abs=0.1)
    assert told(kept).now.litre.value == pytest.approx(6.0, abs=0.01)


def test_too_much_concentrate_is_told_and_water_after_it_mends_it(kept):
    read(kept, share="40")
    moved(kept, "out", 3)
    moved(kept, "in", 3, mix="concentrate")
    # (3 x 40 + 3 x 94) / 6 = 67 %.
    with pytest.raises(ValueError, match=r"67 % glycol by volume; our table goes from 0 to 60 %"):
        told(kept)
    moved(kept, "in", 1, mix="water")
    assert told(kept).now.percent.value == pytest.approx(402 / 7, abs=0.1)


def test_a_share_read_later_replaces_what_was_followed(kept):
    moved(kept, "out", 3)
    moved(kept, "in", 3, mix="water")
    read(kept, share="35")
    assert told(kept).now.percent.value == 35.0


def test_a_filling_whose_mix_nobody_said_is_wide(kept):
    read(kept, share="50")
    moved(kept, "out", 3)
    moved(kept, "in", 3)
    assert told(kept).now.percent.standard_uncertainty > 4.0


def test_it_is_judged_against_how_cold_it_gets(kept):
    read(kept, share="50", freezes="-25")
    assert told(kept).data["judgement"]["verdict"] == "within limits"
    assert told(kept).words.startswith("Good to −25 °C (more than 99 %). 6.0 L are in, with 50.0 ± 3.4 % glycol")
    read(kept, freezes="-45")
    assert told(kept).data["judgement"]["verdict"] == "out of limits"


def test_the_sheet_may_say_how_cold_it_gets(tmp_path):
    kept = with_circuit(tmp_path, CIRCUIT.format(fluid="coolant", more=', freezes: "-25 °C"'))
    assert told(kept).wanted_c == -25.0


def test_room_is_filled_with_concentrate_and_water(kept):
    read(kept, share="40", freezes="-34.1")
    moved(kept, "out", 4)
    # Aimed at -37.1 °C, 50 %: (50 x 6 - 40 x 2) / 94 = 2.34 L of concentrate.
    assert "There is room for 4.0 L: 2.3" in told(kept).words
    assert "make 50 %" in told(kept).words


def test_a_full_circuit_that_is_too_thin_is_swapped(kept):
    read(kept, share="40", freezes="-34.1")
    # 6 x (50 - 40) / (94 - 40) = 1.11 L.
    assert "It is full: let 1.1" in told(kept).words


def test_room_that_cannot_reach_it_says_to_let_more_out(kept):
    read(kept, share="10", freezes="-40")
    moved(kept, "out", 1)
    assert "Let more of the old out first." in told(kept).words


def test_it_poisons_is_said(kept):
    assert any("poisons" in row for row in told(kept).notes)


def test_more_out_than_it_holds_is_refused_in_words(kept):
    moved(kept, "out", 4)
    moved(kept, "out", 4)
    with pytest.raises(ValueError, match="all of the 6 L that it holds came out, or more"):
        told(kept)


ABOVE = (
    "70 % glycol by volume; our table goes from 0 to 60 %, and above that a mixture cools worse and freezes sooner "
    "again. Check the figure; thin it with water."
)


@pytest.mark.parametrize(
    ("typed", "problems"),
    [
        ({"share": "70"}, {"share": ABOVE}),
        ({}, {"share": "Nothing is written here. Write the share that you read, or how cold it gets."}),
        ({"share": "40", "read_with": "nose"},
         {"read_with": '"nose" is none of the choices. Take refractometer or hydrometer or label.'}),
        ({"freezes": "-60"}, {"freezes": "A freezing point of -60 °C; mixtures up to 60 % glycol freeze from 0 to "
                              "-52.02 °C. Take the coldest night of the place, less a few degrees."}),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_at_its_field(kept, typed, problems):
    assert refused(read, kept, **typed) == problems


def test_more_than_sixty_percent_poured_in_is_refused_at_its_field(kept):
    assert refused(moved, kept, "in", 1, mix="70 %") == {"mix": f"{ABOVE} Undiluted? Write concentrate."}


def test_only_a_coolant_circuit_is_read(tmp_path):
    kept = with_circuit(tmp_path, CIRCUIT.format(fluid="engine oil", more=""))
    with pytest.raises(Refused, match="no circuit of coolant"):
        read(kept, share="40")


RADIATOR = """
sheet: 1
id: radiator
title: "Radiator"
parts: {radiator: {name: Radiator}}
circuits: {c: {name: Coolant, fluid: coolant, holds: "6 L ± 0.2", refill: cap, left_in: {radiator: "1 L ± 0.2"}}}
steps:
  - {id: out, do: "Drain", zone: under, time: "1 2 3 min", drain: c}
  - {id: fit, do: "New radiator", zone: top, time: "1 2 3 min", fit: [radiator], after: [out]}
  - {id: into, do: "Fill", zone: top, time: "1 2 3 min", fill: {circuit: c, amount: "5 L"}, after: [fit]}
"""


def test_what_stays_in_the_old_radiator_is_gone_and_what_is_poured_in_is_what_was_poured(tmp_path):
    """By hand: 6 L less 4 L and the radiator's 1 L leave 1 L of 40 %; with 4.5 L of 50 % it is 5.5 L of 48.2 %."""
    kept = Kept(tmp_path, RADIATOR)
    go_on_all_the_same(kept.garage, kept.add, "one")
    kept.add("started")
    read(kept, share="40")
    kept.add("step_done", step="out", amount="4 L", fluid_c="20 °C")
    kept.add("step_done", step="fit")
    kept.add("step_done", step="into", amount="4.5 L", fluid_c="20 °C", mix="50")
    now = told(kept).now
    assert (round(now.litre.value, 1), round(now.percent.value, 1)) == (5.5, 48.2)
