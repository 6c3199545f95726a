"""Whether an advice holds wherever what was assumed may lie, against places drawn at random between the corners."""

import random

import pytest

from knowngood.acts.faults.cover_decision import weigh
from knowngood.acts.faults.cover_held import VARIED, held
from knowngood.acts.faults.cover_inputs import Known, inputs_of
from knowngood.acts.faults.cover_words import hangs_words
from knowngood.acts.faults.doubtful_parts import Doubtful
from knowngood.engine.troubleshooting.model.amounts import Chance

PART = Doubtful("pump", "Pump")
# Nobody says how long it is to hold; all else is stated.
WEARING = {"part": "80", "again": "150", "damage": "120", "new_bad": "1 %", "probability": "2 %", "hour": "12",
           "life": "150000", "age": "90000"}  # fmt: skip


def judged(known, typed):
    inputs = inputs_of(known, typed)
    return inputs, inputs.decide().advice


def test_another_horizon_that_flips_the_advice_is_told_by_name():
    known = Known(PART)
    told = weigh(known, WEARING)
    shorter = weigh(known, {**WEARING, "horizon": "15000"})
    assert told.advice is not shorter.advice
    assert not told.holds
    assert told.hangs_on[0] == "it is to hold for 30 000 km more"
    assert hangs_words(told.hangs_on).startswith("The advice hangs on this: it is to hold for 30 000 km more")


def test_everything_that_may_be_assumed_is_varied():
    known = Known(PART, odometer_km=90_000.0)
    assert set(inputs_of(known, {"life": "150000"}).assumed) == set(VARIED)


@pytest.mark.parametrize("seed", range(12))
def test_an_advice_that_holds_holds_at_every_place_between(seed):
    """Places between the corners are drawn at random, each assumption on its own way between its ends."""
    draw = random.Random(seed)
    chance = Chance(draw.choice([0.01, 0.05, 0.5, 0.9, 0.99]))
    typed = {"part": f"{draw.choice([5, 40, 300])}", "again": f"{draw.choice([20, 150, 900])}"}
    kept = dict(draw.sample(sorted(typed.items()), draw.randint(0, 2)))
    if draw.random() < 0.5:
        kept["life"] = "150000"
    inputs, advice = judged(Known(PART, chance, odometer_km=60_000.0), kept)
    found = held(inputs, advice)
    seen = set()
    for _ in range(150):
        place = inputs
        for key in inputs.assumed:
            end = draw.choice([-1, 0, 1])
            place = VARIED[key](place, end if key in PICKED else end * draw.random())
        seen.add(place.cheapest())
    if found.whatever:
        assert seen == {advice}
    assert not (found.whatever and found.hangs_on)


# These take one of three values; the others anything between their ends.
PICKED = {"probability", "new_bad", "shape"}


def test_one_that_flips_only_with_several_together_does_not_hold():
    known = Known(PART, Chance(0.08))
    judgements = (judged(known, {"part": f"{part}"}) for part in range(2, 200, 2))
    found = next(one for one in (held(*each) for each in judgements) if not one.whatever and not one.hangs_on)
    assert hangs_words(found.hangs_on) == "If several of them are off together, the advice may be another."
