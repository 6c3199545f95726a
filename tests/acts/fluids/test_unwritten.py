"""An amount that nobody wrote down is no amount: said on every face, with the field beside it, and nothing follows."""

import pytest
from tests.acts.fluid_jobs import Kept
from tests.garages import go_on_all_the_same
from tests.refusing import refused

from knowngood.acts.book import fluids_words
from knowngood.acts.fluids.at_hand import fluid_at_hand
from knowngood.acts.fluids.coolant_mix import coolant_mix
from knowngood.acts.fluids.ledger import ledger
from knowngood.acts.fluids.renewal import renewal
from knowngood.acts.fluids.words import ends_with, owed_words, pour_words
from knowngood.report.terminal import ledger_lines

SHEET = """sheet: 1
id: change
title: "Change"
start: [parked, drivable, proven(c.cap)]
circuits: {c: {name: Coolant, fluid: coolant, holds: "6.2 L ± 0.3", refill: c.cap}}
steps:
  - {id: out, do: "Drain", zone: top, time: "1 2 3 min", drain: c}
  - {id: into, do: "Fill", zone: top, time: "1 2 3 min", fill: {circuit: c, amount: "6.2 L ± 0.3"}, after: [out]}
  - {id: look, do: "Look", zone: top, time: "1 2 3 min", after: [into]}
"""
IN = "You did not write down how much went in at step 2, so nobody can tell what is owed."
OUT = "You did not write down how much came out at step 1, so nobody can tell what is owed."


@pytest.fixture
def kept(tmp_path):
    one = Kept(tmp_path, SHEET)
    go_on_all_the_same(one.garage, one.add, "one")
    one.add("started")
    return one


def every_face(kept):
    told = ledger(kept.job, "c")
    terminal = ledger_lines.ledger(kept.job, told, fluid_at_hand(kept.garage, kept.job, "c"))
    return [owed_words(told), terminal, " ".join(fluids_words(kept.job))]


def test_what_went_in_and_was_not_written_down_is_not_counted_as_nothing(kept):
    kept.add("step_done", step="out", amount="4.6 L", fluid_c="31 °C")
    kept.add("step_done", step="into")
    assert all(IN in words for words in every_face(kept))
    assert not any("less went in" in words for words in every_face(kept))
    assert ends_with(ledger(kept.job, "c")) == ("not all was written down", "–")
    with pytest.raises(ValueError, match="did not write down how much went in"):
        coolant_mix(kept.job, "c")


def test_what_came_out_and_was_not_written_down_renews_an_unknown_share(kept):
    kept.add("step_done", step="out")
    assert all(OUT in words for words in every_face(kept))
    assert pour_words(ledger(kept.job, "c")) == ""
    with pytest.raises(ValueError, match="did not write down how much came out"):
        renewal(kept.garage, kept.job, "c")


def test_it_can_be_written_down_afterwards_once(kept):
    kept.add("step_done", step="out", amount="4.6 L", fluid_c="31 °C")
    kept.add("step_done", step="into")
    kept.add("fluid_moved", circuit="c", way="in", step="into", amount="4.5 L")
    told = ledger(kept.job, "c")
    assert told.unwritten == ()
    assert told.entries[-1].step == "into"
    again = refused(kept.add, "fluid_moved", circuit="c", way="in", step="into", amount="4.5 L")
    assert again == {"": "That amount was written down meanwhile, or its step was taken back. Reload the page."}


def test_one_number_to_pour_is_named_at_the_step(kept):
    kept.add("step_done", step="out", amount="4.6 L", fluid_c="31 °C")
    words = pour_words(ledger(kept.job, "c"))
    assert words == "pour in 4.58 L, as much as is gone. The level decides, not the jug."


def test_an_amount_written_down_afterwards_goes_and_comes_back_with_its_step(kept):
    kept.add("step_done", step="out", amount="4.6 L", fluid_c="31 °C")
    done = kept.add("step_done", step="into")
    kept.add("fluid_moved", circuit="c", way="in", step="into", amount="4.5 L")
    back = kept.add("withdrawn", event=done[0].id)
    assert [one.typed for one in ledger(kept.job, "c").entries] == ["4.6 L at 31 °C"]
    kept.add("withdrawn", event=back[0].id)
    assert [one.typed for one in ledger(kept.job, "c").entries] == ["4.6 L at 31 °C", "4.5 L"]


def test_a_step_done_again_counts_its_amount_once(kept):
    kept.add("step_done", step="out", amount="4.6 L", fluid_c="31 °C")
    done = kept.add("step_done", step="into")
    kept.add("fluid_moved", circuit="c", way="in", step="into", amount="4.5 L")
    kept.add("withdrawn", event=done[0].id)
    kept.add("step_done", step="into", amount="4.4 L")
    assert [one.typed for one in ledger(kept.job, "c").entries] == ["4.6 L at 31 °C", "4.4 L"]


def test_an_amount_written_down_afterwards_stands_before_what_was_read_since(kept):
    kept.add("step_done", step="out", amount="4.6 L", fluid_c="31 °C")
    kept.add("step_done", step="into")
    kept.add("mix_read", circuit="c", share="40")
    kept.add("fluid_moved", circuit="c", way="in", step="into", amount="4.5 L", mix="50")
    assert coolant_mix(kept.job, "c").now.percent.value == 40.0
