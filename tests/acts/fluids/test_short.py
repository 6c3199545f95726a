"""A circuit that is clearly short of what went out of it is said before the engine is started on it."""

import pytest
from tests.acts.fluid_jobs import Kept
from tests.garages import go_on_all_the_same

from knowngood.acts.fluids.words import short_words

SHEET = """sheet: 1
id: change
title: "Change"
start: [parked, drivable, proven(c.cap)]
circuits: {c: {name: Coolant, fluid: coolant, holds: "6.2 L ± 0.3", refill: c.cap}}
steps:
  - {id: out, do: "Drain", zone: top, time: "1 2 3 min", drain: c}
  - {id: into, do: "Fill", zone: top, time: "1 2 3 min", fill: {circuit: c, amount: "4.6 L ± 0.3"}, after: [out]}
  - {id: run, do: "Engine on", zone: inside, time: "1 2 3 min", after: [into], makes: [running(engine)]}
  - {id: still, do: "Look", zone: top, time: "1 2 3 min", after: [run], needs: [running(engine)],
     ends: [running(engine)]}
"""


@pytest.fixture
def kept(tmp_path):
    one = Kept(tmp_path, SHEET)
    go_on_all_the_same(one.garage, one.add, "one")
    one.add("started")
    one.add("step_done", step="out", amount="4.6 L", fluid_c="20 °C")
    return one


@pytest.mark.parametrize(("amount", "short"), [("1.5 L", True), ("3.3 L", True), ("4.2 L", False), ("4.6 L", False)])
def test_it_is_said_where_the_engine_starts_and_nowhere_else(kept, amount, short):
    kept.add("step_done", step="into", amount=amount, fluid_c="20 °C")
    steps = {step.id: short_words(kept.job, step) for step in kept.job.sheet.steps}
    assert [step for step, words in steps.items() if words] == (["run"] if short else [])


def test_it_says_how_much_and_what_to_do(kept):
    kept.add("step_done", step="into", amount="1.5 L", fluid_c="20 °C")
    (words,) = short_words(kept.job, kept.job.sheet.step("run"))
    assert words.startswith("Coolant: 3.10 ± ")
    assert "full to its mark before the engine runs" in words


def test_what_nobody_wrote_down_is_not_called_short(kept):
    kept.add("step_done", step="into")
    assert short_words(kept.job, kept.job.sheet.step("run")) == []
