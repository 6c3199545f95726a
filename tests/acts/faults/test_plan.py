"""What to do next: costs worked out by hand, ever better plans, what is kept of them, and when there is none."""

import itertools

import pytest
from tests.acts.suspect_sheets import NO_START, sheet_of
from tests.work import calls

from knowngood.acts.faults import plan as suspects_plan
from knowngood.acts.faults.plan import Kind, digest, known_plan, plan_of, plans
from knowngood.acts.faults.suspects import suspected_of
from knowngood.acts.tools.prices import Prices
from knowngood.engine.troubleshooting.model.amounts import Price

# One suspect, 3 of 4; its repair costs 20 and 12 minutes, the shop 100 and 30.
RELAY = """
sheet: 1
id: relay
title: "Does not start"
suspects: {relay: {name: "Relay", of_10: 7.5}}
none_of_these: "25 %"
repairs:
  swap: {name: "Swap the relay", fixes: {relay: "10 of 10"}, money: 20, minutes: "12 min"}
quote: {money: 100, minutes: "30 min"}
steps:
  - {id: look, do: "Look", zone: around, time: "1 2 3 min"}
"""
FIXED = 0.75 * 0.99  # "10 of 10" is kept to 99 of 100
SEVEN = """
sheet: 1
id: seven
title: "Stalls"
suspects: {SUSPECTS}
tests:
{TESTS}
repairs:
{REPAIRS}
quote: {{money: 900}}
steps:
  - {{id: look, do: "Look", zone: around, time: "1 2 3 min"}}
"""


@pytest.fixture(autouse=True)
def _nothing_kept(monkeypatch):
    monkeypatch.setattr(suspects_plan, "_kept", {})


def of(text, findings=(), **more):
    return suspected_of(sheet_of(text), findings, **more)


def large():
    """Seven suspects with 14 tests and 7 repairs: too many to try every order."""
    names = [f"s{number}" for number in range(7)]
    tests = [
        f'  t{number}: {{name: "Test {number}", shows: [{names[number % 7]}, {names[(number * 3 + 1) % 7]}], '
        f'minutes: "{5 + number} min"}}'
        for number in range(14)
    ]
    repairs = [
        f'  r{number}: {{name: "Repair {number}", fixes: [{name}], money: {60 + 10 * number}, minutes: "40 min"}}'
        for number, name in enumerate(names)
    ]
    suspects = "{" + ", ".join(f"{name}: {name.upper()}" for name in names) + "}"
    return SEVEN.format(SUSPECTS=suspects, TESTS="\n".join(tests), REPAIRS="\n".join(repairs))


def test_a_repair_and_then_the_quote_by_hand():
    plan = plan_of(of(RELAY, rate_per_hour=15.0))
    assert (plan.next.kind, plan.next.key, plan.next.name) == (Kind.REPAIR, "swap", "Swap the relay")
    assert plan.next.price == Price(20.0, 12.0)
    left = 1.0 - FIXED
    assert (plan.expected.money, plan.expected.minutes) == pytest.approx((20.0 + left * 100.0, 12.0 + left * 30.0))
    assert plan.expected_cost == pytest.approx(23.0 + left * 107.5)
    assert plan.next.pays == pytest.approx(107.5 - plan.expected_cost)
    assert plan.worst == Price(120.0, 42.0)
    assert plan.shop_chance == pytest.approx(left)
    assert (plan.label, plan.proved_gap, plan.settled) == ("exact", 0.0, True)


def test_a_cheap_quote_is_taken_at_once():
    plan = plan_of(of(RELAY, quote=10.0))
    assert (plan.next.kind, plan.next.key, plan.next.name) == (Kind.SHOP, "shop", "hand it over to the shop")
    assert (plan.next.price, plan.next.pays) == (Price(10.0, 30.0), 0.0)


def test_the_way_in_and_the_check_belong_to_what_the_next_action_takes():
    found = of(NO_START, [("click", "no"), ("hum", "loud")], prices=Prices({"relay": 8.0}))
    assert plan_of(found).next.price == Price(16.0 + 3.0, 6.0 + 22.0 + 1.0)


def test_without_a_quote_there_is_a_belief_and_no_plan():
    text = RELAY.replace('quote: {money: 100, minutes: "30 min"}\n', "")
    found = of(text)
    assert (plan_of(found), list(plans(found)), known_plan(found)) == (None, [], None)
    assert plan_of(of(text, quote=100.0)).next.key == "swap"


def test_a_small_problem_is_exact_at_once():
    (plan,) = plans(of(NO_START), steps=1)
    assert (plan.settled, plan.exact) == (True, True)


def test_what_fits_in_memory_is_exact_after_a_first_answer(monkeypatch):
    monkeypatch.setattr(suspects_plan, "SMALL", 0)
    *first, last = plans(of(NO_START))
    assert ([one.settled for one in first], last.settled, last.exact) == ([False, False], True, True)
    assert [one.label for one in (first[0], last)] == ["looks one step ahead", "exact"]
    for one in first:
        assert last.expected_cost <= one.expected_cost <= last.expected_cost * (1.0 + one.proved_gap) * (1.0 + 1e-9)


def test_plans_of_a_large_problem_come_at_once_and_get_no_worse():
    found = of(large())
    steps = []
    # A page waits for it: some 23,000 calls, about a hundredth of a second.
    assert calls(lambda: steps.append(next(plans(found)))) < 50_000
    steps += plans(found, steps=2)
    assert len(steps) == 4
    for before, after in itertools.pairwise(steps):
        assert after.expected_cost <= before.expected_cost * (1.0 + 1e-9)
        assert after.proved_gap <= before.proved_gap
    assert (steps[0].label, steps[-1].label[:14]) == ("looks one step ahead", "proved within ")
    assert 0.0 < steps[-1].proved_gap < 0.5
    assert known_plan(found) is steps[-1]


def test_a_plan_that_was_made_is_not_made_anew(monkeypatch):
    found = of(NO_START)
    assert known_plan(found) is None
    made = plan_of(found)

    def never(*_, **__):
        raise AssertionError("made anew")

    monkeypatch.setattr(suspects_plan, "narrow", never)
    assert plan_of(of(NO_START)) is made
    assert known_plan(found) is made


def test_not_too_many_plans_are_kept(monkeypatch):
    monkeypatch.setattr(suspects_plan, "MOST_KEPT", 2)
    founds = [of(RELAY, quote=quote) for quote in (100.0, 200.0, 300.0)]
    made = [plan_of(found) for found in founds]
    assert [known_plan(found) for found in founds] == [None, *made[1:]]


def test_the_same_problem_has_the_same_mark_and_another_has_not():
    marks = [digest(of(NO_START, quote=quote).left) for quote in (300.0, 300.0, 301.0)]
    assert marks[0] == marks[1] != marks[2]


def test_the_tree_is_cut_where_a_branch_is_rare_and_keeps_its_cost():
    plan = plan_of(of(NO_START))
    assert plan.tree.expected_cost == pytest.approx(plan.expected_cost)
    assert all(one.chance >= 0.01 for one in plan.tree.steps)
    assert len(plan.tree.steps) <= len(plan.whole.steps)
