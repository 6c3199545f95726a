"""Doing it oneself against the quote: what a job says by itself, and what is typed."""

import pytest
from tests.garages import giving
from tests.refusing import refused

from knowngood.acts.faults.suspects import suspected_here
from knowngood.acts.faults.worth_doing import worth_doing
from knowngood.engine.troubleshooting.worth.scopes import QUOTE

SHEET = """
sheet: 1
id: valve
title: "Valve"
scopes: {small: "Clean it", whole: "New one"}
parts: {valve: {name: "valve", scope: [whole]}}
suspects: {valve: "Valve sticks"}
repairs:
  clean: {name: "Clean it", fixes: {valve: 4 of 10}, step: wipe, money: 0}
  renew: {name: "New one", fixes: {valve: nearly always}, step: fit, part: valve}
steps:
  - {id: wipe, do: "Clean it", zone: top, time: "20 30 40 min"}
  - {id: fit, do: "New one in", zone: top, time: "30 60 90 min", scope: [whole], fit: [valve]}
"""


@pytest.fixture
def give(garage):
    one = giving(garage, "job/one")
    one("vehicle_named", "vehicle/van", name="van")
    return one


def told(garage):
    return worth_doing(garage, garage.job("one"))


def ways(garage):
    return {way.key: way for way in told(garage).worth.ways}


def test_without_a_quote_there_is_nothing_to_compare(garage, give):
    give("job_opened", vehicle="van", sheet=SHEET)
    assert told(garage) is None


def test_each_scope_costs_what_it_takes_and_the_quote_as_often_as_it_fails(garage, give):
    give("job_opened", vehicle="van", sheet=SHEET, quote="400")
    give("price_stated", "toolbox", what="part:valve.valve", amount="80")
    give("price_stated", "toolbox", what="hour", amount="20")
    found = ways(garage)
    # The one suspect is 95 %; cleaning mends it 4 times of 10, a new one 95 times of 100.
    assert found["small"].fixes == pytest.approx(0.95 * 0.4)
    assert found["whole"].fixes == pytest.approx(0.95 * 0.95)
    assert found["small"].expected.value == pytest.approx(10.0 + (1.0 - 0.38) * 400.0)
    assert found["whole"].expected.value == pytest.approx(80.0 + 30.0 + (1.0 - 0.9025) * 400.0)
    assert found[QUOTE].expected.value == 400.0
    assert told(garage).sentence.startswith("Do it yourself (New one): 149 on average against 400 for the quote.")


def test_a_scope_that_only_looks_mends_nothing(garage, give):
    looks = SHEET.replace("scopes: {", 'scopes: {look: "Find out only", ')
    looks = looks.replace('time: "20 30 40 min"}', 'time: "20 30 40 min", scope: [small, whole]}')
    looks += '  - {id: see, do: "Look at it", zone: top, time: "2 5 9 min", scope: [look]}\n'
    give("job_opened", vehicle="van", sheet=looks, quote="400")
    found = ways(garage)
    assert found["look"].fixes == 0.0
    assert found["small"].fixes > 0.0
    assert "Find out only" not in told(garage).sentence


def test_without_repairs_a_scope_that_renews_nothing_mends_nothing_and_says_so(garage, give):
    head, _, rest = SHEET.partition("repairs:")
    give("job_opened", vehicle="van", sheet=head + rest[rest.index("steps:") :], quote="400")
    found = ways(garage)
    assert (found["small"].fixes, found["whole"].fixes) == (0.0, 0.7)
    assert "a scope that renews nothing and does no repair mends nothing" in told(garage).assumed
    assert "it is right afterwards with 70 %" in told(garage).assumed


def test_a_repair_without_steps_is_done_where_its_part_is_fitted(garage, give):
    give("job_opened", vehicle="van", sheet=SHEET.replace(", step: fit, part", ", part"), quote="400")
    assert ways(garage)["whole"].fixes == pytest.approx(0.95 * 0.95)


def test_a_repair_of_which_no_scope_is_known_counts_in_none_and_is_named(garage, give):
    bare = SHEET.replace(", step: fit, part: valve}", "}").replace(", step: wipe", "")
    give("job_opened", vehicle="van", sheet=bare, quote="400")
    assert {key: way.fixes for key, way in ways(garage).items() if key != QUOTE} == {"small": 0.0, "whole": 0.7}
    assert "no step or part says which scope does: Clean it, New one; it counts in none" in told(garage).assumed


def test_a_shipped_scope_mends_what_its_own_repairs_do(demo_garage):
    """Of the demo's suspects, finding out only mends the relay (nearly always) and a plug of the fan (sometimes)."""
    job = demo_garage.job("runs-hot")
    chances = {one.key: one.after for one in suspected_here(demo_garage, job).suspects}
    by_hand = 0.95 * chances["relay"] + 0.4 * chances["fan"]
    found = {way.key: way.fixes for way in worth_doing(demo_garage, job).worth.ways}
    assert found["look"] == pytest.approx(by_hand)
    assert found["mend"] > found["look"]


def test_where_it_flips_is_where_both_cost_the_same(garage, give):
    give("job_opened", vehicle="van", sheet=SHEET, quote="400")
    give("price_stated", "toolbox", what="part:valve.valve", amount="80")
    give("price_stated", "toolbox", what="hour", amount="0")
    # With free time: cleaning .62 Q, a new one 80 + .0975 Q; they cross at 80 / .5225.
    assert f"The answer flips below a quote of {80 / 0.5225:.0f}." in told(garage).sentence


def test_what_is_typed_of_a_scope_counts_first(garage, give):
    give("job_opened", vehicle="van", sheet=SHEET, quote="400")
    give("worth_stated", scope="whole", parts="60", fixes="100 %", tools="40", later_uses="3", hour="0")
    way = ways(garage)["whole"]
    assert way.money.value == pytest.approx(60.0 + 40.0 / 4.0)
    assert way.paid_now.value == pytest.approx(100.0)
    assert way.expected.value == pytest.approx(70.0)


def test_what_nobody_priced_is_assumed_and_said(garage, give):
    give("job_opened", vehicle="van", sheet=SHEET, quote="400")
    assert told(garage).assumed == (
        "an hour of yours is worth 15",
        "nobody stated a price for valve: counted as 100, a quarter of the quote; it may be from 20 to 180",
    )


@pytest.mark.parametrize(("field", "typed"), [("parts", "many"), ("fixes", "140 %"), ("scope", "half")])
def test_what_cannot_be_used_is_refused_at_its_field(give, field, typed):
    give("job_opened", vehicle="van", sheet=SHEET, quote="400")
    assert list(refused(give, "worth_stated", **{"scope": "whole", field: typed})) == [field]


def test_what_is_done_only_if_needed_counts_as_often_as_it_is(garage, give):
    decide = 'decide: {id: stuck, question: "And now?", choices: {fast: Sticks, free: Moves}}'
    sheet = SHEET.replace('"20 30 40 min"', f'"20 30 40 min", {decide}').replace(
        "scope: [whole], fit", "when: {decided: stuck, is: fast}, scope: [whole], fit"
    )
    give("job_opened", vehicle="van", sheet=sheet, quote="400")
    give("price_stated", "toolbox", what="part:valve.valve", amount="80")
    give("price_stated", "toolbox", what="hour", amount="20")
    # The valve is 95 %: so often it is renewed, for 80 and an hour.
    way = ways(garage)["whole"]
    assert way.money.value == pytest.approx(0.95 * 80.0)
    assert way.minutes.value == pytest.approx(30.0 + 0.95 * 60.0)
