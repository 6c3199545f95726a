"""What is allowed, and which rule decides."""

import json
import math

import pytest

from knowngood.engine.judgement import Band, Confidence, Costs, Safety
from knowngood.engine.judgement.band import clear_from


@pytest.mark.parametrize("rule", [Confidence(), Confidence(0.9), Safety(), Costs(30.0, 100.0)])
def test_a_band_comes_back_from_strict_json(rule):
    band = Band(80.0, None, "ohm", "at 20 °C", "the manual's page on relays", rule, width_ours=True)
    assert Band.from_json(json.loads(json.dumps(band.to_json(), allow_nan=False))) == band


@pytest.mark.parametrize(
    ("lower", "upper", "message"),
    [
        (None, None, "a band without ends allows everything; give a lower end, an upper end or both."),
        (95.0, 80.0, "a band from 95 to 80 ohm; the lower end comes first."),
        (80.0, 80.0, "a band from 80 to 80 ohm; the lower end comes first."),
        (math.nan, 80.0, "a band whose end is not a plain number; leave out the end that does not count."),
        (80.0, math.inf, "a band whose end is not a plain number; leave out the end that does not count."),
    ],
)
def test_ends_that_mean_nothing_are_refused(lower, upper, message):
    with pytest.raises(ValueError, match="a band") as refused:
        Band(lower, upper, "ohm")
    assert str(refused.value) == message


@pytest.mark.parametrize("costs", [(0.0, 100.0), (30.0, -1.0), (30.0, math.nan)])
def test_a_mistake_that_costs_nothing_is_refused(costs):
    with pytest.raises(ValueError, match="must be above 0"):
        Costs(*costs)


@pytest.mark.parametrize("rule", [Confidence, Safety])
@pytest.mark.parametrize("probability", [0.5, 1.0, -3.0])
def test_a_verdict_from_a_coin_or_from_certainty_is_refused(rule, probability):
    with pytest.raises(ValueError, match="a verdict from") as refused:
        rule(probability)
    assert str(refused.value) == (
        f"a verdict from a probability of {probability:g}; it must lie between .5 and 1. Use .95."
    )


def test_the_dearer_mistake_raises_the_threshold():
    assert Costs(300.0, 100.0).threshold == pytest.approx(0.75)
    assert Costs(100.0, 100.0).threshold == pytest.approx(0.5)


def test_costs_are_clear_from_the_usual_probability():
    assert [clear_from(rule) for rule in (Confidence(0.9), Safety(), Costs(1.0, 2.0))] == [0.9, 0.95, 0.95]
