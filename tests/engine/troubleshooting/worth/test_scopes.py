"""Doing it oneself against the quote: what it costs, how far that may be off, and where the answer flips."""

import math
import re
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from knowngood.engine.judgement import Estimate, Row
from knowngood.engine.troubleshooting.model.amounts import Chance
from knowngood.engine.troubleshooting.worth.scopes import QUOTE, Scope, Tool, compare

CHANCE, AMOUNT = st.floats(0.0, 1.0), st.floats(1.0, 400.0)


def money(value, doubt=0.0, key="price"):
    return Estimate(value, "money", (Row(key, doubt),) if doubt else ())


def minutes(value, doubt=0.0):
    return Estimate(value, "min", (Row("minutes", doubt),) if doubt else ())


PUMP = Tool("hand pump", money(30.0, 3.0, "pump"), later_uses=2.0)
FLUID = Scope("fluid", {"fluids": money(60.0, 5.0, "fluid")}, minutes(90.0, 20.0), Chance(0.4, 0.2, 0.6), (PUMP,))
PARTS = Scope(
    "with parts", {"fluids": money(60.0, 5.0, "fluid"), "parts": money(140.0, 20.0, "parts")}, minutes(240.0, 60.0),
    Chance(0.8, 0.7, 0.9), (PUMP,),
)  # fmt: skip
ASKED = money(600.0, 50.0, "quote")


@st.composite
def scopes(draw):
    return [
        Scope(f"scope {at}", {"parts": money(draw(AMOUNT))}, minutes(draw(AMOUNT)), Chance(draw(CHANCE)))
        for at in range(draw(st.integers(1, 4)))
    ]


def of(found, key):
    return next(way for way in found.ways if way.key == key)


@pytest.mark.published("By hand: 60 + 30/3 + 90 min at 20/h = 100, and .6 x 600 on top; 60 + 140 + 10 + 80 + 120")
def test_the_worked_case():
    found = compare([FLUID, PARTS], ASKED, rate_per_hour=20.0)
    assert {way.key: way.expected.value for way in found.ways} == pytest.approx(
        {"with parts": 410.0, "fluid": 460.0, QUOTE: 600.0}
    )
    assert found.advice == "with parts"
    assert of(found, "fluid").money.value == pytest.approx(70.0)
    assert of(found, "fluid").paid_now.value == pytest.approx(90.0)
    # 600 against 330 + 4 r and 430 + 1.5 r, with r for an hour.
    assert [(one.key, one.low) for one in found.by_rate] == [
        ("with parts", 0.0), ("fluid", pytest.approx(40.0)), (QUOTE, pytest.approx(170.0 / 1.5)),
    ]  # fmt: skip
    # Q against 100 + .6 Q and 290 + .2 Q.
    assert [(one.key, one.low) for one in found.by_quote] == [
        (QUOTE, 0.0), ("fluid", pytest.approx(250.0)), ("with parts", pytest.approx(475.0)),
    ]  # fmt: skip


def test_by_drawing_at_random():
    """Prices, minutes, and whether it is right; the rest is counted."""
    found = of(compare([PARTS], ASKED, rate_per_hour=20.0), "with parts")
    generator = np.random.default_rng(3)
    size = 400_000
    spent = sum(
        generator.normal(mean, doubt, size)
        for mean, doubt in ((60.0, 5.0), (140.0, 20.0), (10.0, 1.0), (80.0, 20.0))
    )  # fmt: skip
    asked = generator.normal(600.0, 50.0, size)
    ends = spent + np.where(generator.random(size) < 0.8, 0.0, asked)
    assert found.expected.value == pytest.approx(ends.mean(), abs=1.5)
    assert found.deviation == pytest.approx(ends.std(), rel=0.005)
    assert (found.low, found.middle, found.high) == pytest.approx(np.quantile(ends, (0.1, 0.5, 0.9)), abs=1.0)
    assert found.pays == pytest.approx(np.mean(ends < asked), abs=0.003)


def test_the_doubt_row_by_row():
    """The pump counts a third, an hour at its rate, the quote as often as it comes, whether it mends at the quote."""
    rows = {
        row.key: row.contribution for row in of(compare([PARTS], ASKED, rate_per_hour=20.0), "with parts").expected.rows
    }
    assert rows == pytest.approx(
        {"fluid": 5.0, "parts": 20.0, "pump": 1.0, "minutes": 20.0, "quote": 10.0,
         "with parts/fixes": -60.0 / math.sqrt(3.0)}
    )  # fmt: skip


@pytest.mark.parametrize("fluid_doubt", [0.0, 5.0, 500.0])
def test_what_two_ways_share_drops_out_of_how_sure_it_is(fluid_doubt):
    """One and the same doubtful fluid in both cannot turn which is cheaper: only the parts, 140 with a doubt of 100."""
    fluid = {"fluids": money(60.0, fluid_doubt, "fluid")}
    less = Scope("fluid", fluid, minutes(60.0), Chance(0.9))
    more = Scope("with parts", {**fluid, "parts": money(140.0, 100.0, "parts")}, minutes(60.0), Chance(0.9))
    found = compare([less, more], money(5000.0), rate_per_hour=20.0)
    assert (found.advice, found.surely) == ("fluid", pytest.approx(0.9192, abs=5e-5))  # normal, 1.4


@given(scopes(), AMOUNT, st.floats(0.0, 60.0))
def test_the_stretches_say_what_a_new_comparison_says(chosen, quote, rate):
    found = compare(chosen, money(quote), rate_per_hour=rate)
    for x in np.linspace(0.0, 200.0, 5):
        again = compare(chosen, money(quote), rate_per_hour=float(x))
        stretch = next(one for one in found.by_rate if x < one.high)
        assert of(again, stretch.key).expected.value == pytest.approx(again.ways[0].expected.value)
    for x in np.linspace(0.5, 800.0, 5):
        again = compare(chosen, money(float(x)), rate_per_hour=rate)
        stretch = next(one for one in found.by_quote if x < one.high)
        assert of(again, stretch.key).expected.value == pytest.approx(again.ways[0].expected.value)


@given(scopes(), AMOUNT, AMOUNT)
def test_dearer_parts_never_cost_less_and_never_pay_sooner(chosen, quote, more):
    dearer = [replace(one, bought={**one.bought, "more": money(more)}) for one in chosen]
    before, after = (compare(each, money(quote), rate_per_hour=20.0) for each in (chosen, dearer))
    for scope in chosen:
        assert of(after, scope.key).expected.value > of(before, scope.key).expected.value
        assert of(after, scope.key).pays <= of(before, scope.key).pays
    assert after.ways[0].expected.value >= before.ways[0].expected.value - 1e-9


@given(scopes(), AMOUNT)
def test_the_cheapest_never_costs_more_than_the_quote(chosen, quote):
    found = compare(chosen, money(quote), rate_per_hour=20.0)
    assert found.ways[0].expected.value <= quote
    assert 0.0 <= found.surely <= 1.0
    for way in found.ways:
        assert way.low <= way.middle <= way.high
        assert way.pays <= way.fixes


@given(AMOUNT, st.floats(0.0, 20.0))
def test_later_uses_carry_their_share(price, later):
    tool = Tool("pump", money(price), later)
    found = of(compare([replace(FLUID, tools=(tool,))], ASKED, rate_per_hour=0.0), "fluid")
    assert found.money.value == pytest.approx(60.0 + price / (1.0 + later))
    assert found.paid_now.value == pytest.approx(60.0 + price)


def test_with_no_scope_the_quote_is_all_there_is():
    found = compare([], ASKED, rate_per_hour=20.0, quote_minutes=minutes(60.0))
    assert (found.advice, found.surely, found.ways[0].expected.value) == (QUOTE, 1.0, 620.0)


def test_bringing_and_fetching_counts_as_often_as_it_comes():
    """60 + 1.5 h + .6 (600 + 2 h) against 600 + 2 h: 180 more is worth .7 h more of an hour's price."""
    plain = replace(FLUID, tools=())
    found = compare([plain], ASKED, rate_per_hour=20.0, quote_minutes=minutes(120.0))
    assert of(found, "fluid").expected.value == pytest.approx(60.0 + 30.0 + 0.6 * 640.0)
    assert found.by_rate[0].high == pytest.approx(180.0 / 0.7)


def test_fixed_for_sure_has_no_quote_on_top():
    found = of(compare([replace(FLUID, fixes=Chance(1.0))], ASKED, rate_per_hour=20.0), "fluid")
    assert found.expected.value == pytest.approx(100.0)
    assert found.middle == pytest.approx(100.0)
    assert found.pays == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: compare([FLUID, FLUID], ASKED, rate_per_hour=20.0),
         'two scopes are called "fluid"; give one of them another name.'),
        (lambda: compare([FLUID], ASKED, rate_per_hour=-1.0),
         "an hour worth -1; it is zero or more. Write 0 when time is free."),
        (lambda: compare([FLUID], money(0.0), rate_per_hour=20.0),
         "a quote of 0; write what the shop asks, or what you would expect it to."),
        (lambda: Tool("pump", money(30.0), -1.0), "pump: -1 later uses; write 0 when it is for this job only."),
        (lambda: replace(FLUID, key=QUOTE),
         'a scope is called "quote", which is the shop\'s own; give it another name.'),
    ],
)  # fmt: skip
def test_refusals(call, message):
    with pytest.raises(ValueError, match=f"^{re.escape(message)}$"):
        call()
