"""The best policy is the best: against every order tried one by one, published exercises, and what must always hold."""

from dataclasses import replace
from itertools import permutations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.engine.troubleshooting.clairvoyant import clairvoyant
from tests.engine.troubleshooting.followed import followed
from tests.engine.troubleshooting.instances import drawn
from tests.engine.troubleshooting.one_by_one import OneByOne
from tests.engine.troubleshooting.strategies import PRICES, certain, problems, repairs
from tests.engine.troubleshooting.strategies import tests as some_tests
from tests.engine.troubleshooting.walks import actions, ways

from knowngood.engine.troubleshooting.belief.posterior import Failed, Shown
from knowngood.engine.troubleshooting.model.amounts import Chance, Price
from knowngood.engine.troubleshooting.model.parts import Cover, Quote, Repair, Test
from knowngood.engine.troubleshooting.model.problem import Problem, suspects
from knowngood.engine.troubleshooting.policy.exact import Policy
from knowngood.engine.troubleshooting.policy.moves import SHOP, Action, Kind, State, mass, remaining, start
from knowngood.engine.troubleshooting.policy.outlook import action_price
from knowngood.engine.troubleshooting.policy.tree import grow

SIZES = [
    {"causes": 3, "tests": 2, "repairs": 3, "covers": 2, "closing": closing, "check": check}
    for closing in (False, True)
    for check in (False, True)
]


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"closing {size['closing']}, check {size['check']}")
def test_it_is_the_least_of_all_orders_tried_one_by_one(size, rounds):
    for seed in range(rounds(50)):
        problem = drawn(seed, **size)
        assert Policy(problem).cost == pytest.approx(OneByOne(problem).least(), rel=1e-12), f"seed {seed}"


@given(problems())
def test_it_is_the_least_of_all_orders_of_anything_that_a_problem_can_have(problem):
    assert Policy(problem).cost == pytest.approx(OneByOne(problem).least(), rel=1e-9, abs=1e-9)


def in_order(*keys):
    """The policy that does these repairs one after the other, then hands over."""

    def choose(state):
        left = [key for key in keys if key not in state.tried]
        return Action(Kind.REPAIR, (left[0],)) if left else SHOP

    return choose


@pytest.mark.published(
    "Ross, A first course in probability, chapter 4, place from memory: a machine's two causes; two prices by hand"
)
@pytest.mark.parametrize(("inspect", "first", "other_way"), [((10, 20), 90.0, 92.0), ((30, 20), 110.0, 100.0)])
def test_two_causes_are_inspected_in_the_cheaper_order(inspect, first, other_way):
    lids = tuple(Cover(f"way {n}", f"way {n}", Price(cost)) for n, cost in enumerate(inspect))
    looks = tuple(
        Test.shows(f"look {n}", f"look {n}", {f"cause {n}": Chance(1.0)}, Chance(0.0), cover=f"way {n}") for n in (0, 1)
    )
    mends = tuple(
        Repair(f"mend {n}", f"mend {n}", {f"cause {n}": Chance(1.0)}, Price(price), f"way {n}")
        for n, price in enumerate((50.0, 80.0))
    )
    causes = certain({"cause 0": 0.4, "cause 1": 0.6})
    problem = Problem(causes, looks, mends, lids, Quote(Price(1000.0)), begun=True)

    def looking_first_at(place):
        def choose(state):
            shown = dict(state.shown)
            if f"look {place}" not in shown:
                return Action(Kind.TEST, (f"look {place}",))
            return Action(Kind.REPAIR, (f"mend {place if shown[f'look {place}'] == 'yes' else 1 - place}",))

        return choose

    assert grow(problem, looking_first_at(0)).expected_cost == pytest.approx(first)
    assert grow(problem, looking_first_at(1)).expected_cost == pytest.approx(other_way)
    assert Policy(problem).cost == pytest.approx(min(first, other_way))


CHANCES = {"a": 0.30, "b": 0.25, "x": 0.20, "y": 0.15, "z": 0.10}
COSTS = {"a": 40.0, "b": 30.0, "x": 8.0, "y": 6.0, "z": 5.0}
BEHIND = Problem(
    certain(CHANCES),
    (),
    tuple(
        Repair(key, key, {key: Chance(1.0)}, Price(cost), "lid" if key in "xyz" else None)
        for key, cost in COSTS.items()
    ),
    (Cover("lid", "lid", Price(30.0), Price(15.0)),),
    Quote(Price(1000.0)),
    begun=True,
)


def test_repairs_behind_a_cover_wait_for_those_in_the_open():
    """Our example, with every order tried: blind to the cover 89.55, best 85.85, worst 107.70."""
    costs = {order: grow(BEHIND, in_order(*order)).expected_cost for order in permutations("abxyz")}
    assert costs["x", "y", "z", "b", "a"] == pytest.approx(89.55)
    assert min(costs.values()) == costs["b", "a", "x", "y", "z"] == pytest.approx(85.85)
    assert max(costs.values()) == pytest.approx(107.70)
    assert Policy(BEHIND).cost == pytest.approx(85.85)
    assert Policy(BEHIND).next() == Action(Kind.REPAIR, ("b",))


def test_behind_a_cover_that_must_be_closed_for_the_road_test_several_are_done_at_once(rounds):
    closed = tuple(replace(repair, needs_closed_check=repair.key in "xyz") for repair in BEHIND.repairs)
    problem = replace(BEHIND, repairs=closed)
    policy = Policy(problem)
    assert policy.next(State(tried=frozenset("ab"))) == Action(Kind.REPAIR, ("x", "y", "z"))
    assert policy.cost == pytest.approx(30.0 + 0.75 * 40.0 + 0.45 * (45.0 + 8.0 + 6.0 + 5.0))
    paid = followed(problem, policy.next, rounds=rounds(2000), seed=1)[:, 0]
    assert abs(paid.mean() - policy.cost) <= 4.0 * paid.std() / np.sqrt(len(paid))


@given(problems())
def test_it_is_never_dearer_than_the_shop_and_never_cheaper_than_being_told(problem):
    cost = Policy(problem).cost
    assert cost <= grow(problem, in_order()).expected_cost * (1.0 + 1e-12)
    assert clairvoyant(problem) <= cost * (1.0 + 1e-12)


@given(problems(), st.randoms(use_true_random=False))
def test_no_other_policy_is_cheaper(problem, random):
    taken = {}

    def choose(state):
        return taken.setdefault(state, random.choice(actions(problem, state)))

    assert Policy(problem).cost <= grow(problem, choose).expected_cost * (1.0 + 1e-12)


@given(problems(), st.data())
def test_one_more_option_never_makes_it_dearer(problem, data):
    causes = [cause.key for cause in problem.causes[:-1]]
    places = st.sampled_from([None, *problem.cover_of])
    more_tests = replace(problem, tests=(*problem.tests, data.draw(some_tests("one more", causes, places))))
    # A repair whose check closes what others leave open adds a way, and takes none.
    more_repairs = replace(problem, repairs=(*problem.repairs, data.draw(repairs("one more", causes, places))))
    for more in (more_tests, more_repairs):
        assert Policy(more).cost <= Policy(problem).cost * (1.0 + 1e-12)


@given(problems(), st.data())
def test_a_higher_price_never_makes_it_cheaper(problem, data):
    def dearer(things, name):
        if not things:
            return things
        place = data.draw(st.integers(0, len(things) - 1))
        changed = replace(things[place], **{name: getattr(things[place], name) + data.draw(PRICES)})
        return (*things[:place], changed, *things[place + 1 :])

    before = Policy(problem).cost
    quote = replace(problem.quote, price=problem.quote.price + data.draw(PRICES))
    for after in (
        replace(problem, tests=dearer(problem.tests, "price")),
        replace(problem, repairs=dearer(problem.repairs, "price")),
        replace(problem, covers=dearer(problem.covers, "closing")),
        replace(problem, quote=quote),
        replace(problem, check=problem.check + data.draw(PRICES)),
        replace(problem, free=frozenset()),
        replace(problem, open_already=frozenset()),
    ):
        assert Policy(after).cost >= before * (1.0 - 1e-12)


@given(problems(), st.integers(1, 9))
def test_a_test_that_shows_the_same_with_every_cause_is_never_done(problem, tenths):
    nothing = Test.shows("nothing", "nothing", {}, Chance(tenths / 10.0))
    more = replace(problem, tests=(nothing, *problem.tests))
    assert Policy(more).cost == pytest.approx(Policy(problem).cost, rel=1e-12)
    assert all(action.keys != ("nothing",) for action in actions(more, start(more)))


@given(problems(), st.randoms(use_true_random=False))
def test_the_order_in_which_things_are_listed_does_not_matter(problem, random):
    def shuffled(things):
        return tuple(random.sample(things, len(things)))

    mixed = replace(
        problem, causes=shuffled(problem.causes), tests=shuffled(problem.tests), repairs=shuffled(problem.repairs)
    )
    assert Policy(mixed).cost == pytest.approx(Policy(problem).cost, rel=1e-12)


@given(problems())
def test_the_policy_walked_through_costs_what_was_promised_and_ends_for_certain(problem):
    policy = Policy(problem)
    tree = grow(problem, policy.next)
    assert tree.expected_cost == pytest.approx(policy.cost, rel=1e-9, abs=1e-9)
    assert problem.cost(tree.worst.dearest) >= tree.expected_cost - 1e-9
    assert -1e-12 <= tree.shop_chance <= 1.0 + 1e-12
    ends, waiting = 0.0, [start(problem)]
    while waiting:
        state = waiting.pop()
        action = policy.next(state)
        further = [branch.state for branch in ways(problem, state, action)]
        waiting += further
        ends += mass(problem, state).sum() - sum(mass(problem, one).sum() for one in further)
    assert ends == pytest.approx(1.0)


@given(problems(), st.data())
def test_a_choice_costs_what_is_paid_for_it_and_what_follows(problem, data):
    policy, state = Policy(problem), start(problem)
    while True:
        choices = {one.action: one.cost for one in policy.choices(state)}
        here = mass(problem, state).sum()
        for action in actions(problem, state):
            further = [(mass(problem, way.state).sum() / here, way.state) for way in ways(problem, state, action)]
            paid = problem.cost(action_price(problem, state, action))
            after = sum(share * policy.cost_at(one) for share, one in further)
            assert choices.pop(action) == pytest.approx(paid + after, rel=1e-9, abs=1e-9)
        assert not choices
        leads = [way.state for action in actions(problem, state) for way in ways(problem, state, action)]
        if not leads:
            return
        state = data.draw(st.sampled_from(leads))


@given(problems(), st.data())
def test_going_on_after_findings_is_the_same_as_a_problem_that_begins_there(problem, data):
    policy, state, findings = Policy(problem), start(problem), []
    while (action := policy.next(state)) != SHOP:
        found = ways(problem, state, action)
        if not found:
            return
        way = data.draw(st.sampled_from(found))
        if action.kind is Kind.TEST:
            findings.append(Shown(action.keys[0], way.outcome))
        else:
            findings += [Failed(key) for key in action.keys]
        state = way.state
        later = Policy(remaining(problem, findings, state.off))
        assert later.cost == pytest.approx(policy.cost_at(state), rel=1e-9, abs=1e-9)


@pytest.mark.parametrize("seed", range(4))
def test_many_vehicles_cost_on_average_what_was_promised(seed, rounds):
    problem = drawn(seed, closing=True, check=bool(seed % 2))
    policy = Policy(problem)
    paid = followed(problem, policy.next, rounds=rounds(2000), seed=seed)[:, 0]
    assert abs(paid.mean() - policy.cost) <= 4.0 * paid.std() / np.sqrt(len(paid))
    assert paid.max() <= problem.cost(grow(problem, policy.next).worst.dearest) + 1e-9


def test_choices_say_what_every_other_action_would_cost():
    relay = Repair("relay", "new relay", {"relay": Chance(1.0)}, Price(20.0))
    click = Test.shows("click", "clicks", {"relay": Chance(0.9)}, Chance(0.1), price=Price(1.0))
    policy = Policy(Problem(suspects({"relay": 1}, other=0.75), (click,), (relay,), quote=Quote(Price(100.0))))
    assert [(choice.action.keys, round(choice.cost, 6)) for choice in policy.choices()] == [
        (("click",), 84.5),
        (("relay",), 95.0),
        ((), 100.0),
    ]
    assert policy.next() == Action(Kind.TEST, ("click",))


def test_of_equals_the_one_with_the_least_work_is_taken():
    relay = Repair("relay", "new relay", {"relay": Chance(1.0)}, Price(75.0))
    policy = Policy(Problem(suspects({"relay": 1}, other=0.25), (), (relay,), quote=Quote(Price(100.0))))
    assert [choice.cost for choice in policy.choices()] == pytest.approx([100.0, 100.0])
    assert policy.next() == SHOP


def test_what_must_not_be_done_here_is_never_proposed():
    relay = Repair("relay", "new relay", {"relay": Chance(1.0)}, safe=False)
    look = Test.shows("look", "look", {"relay": Chance(0.9)}, Chance(0.1), safe=False)
    problem = Problem(suspects({"relay": 1}), (look,), (relay,), quote=Quote(Price(100.0)))
    assert actions(problem, start(problem)) == [SHOP]
    assert Policy(problem).cost == 100.0


def test_too_large_is_said_with_what_to_do():
    problem = drawn(0, causes=8, tests=14, repairs=10)
    with pytest.raises(ValueError, match=r"14 tests and 10 repairs are too many .*; keep those of the likeliest"):
        Policy(problem)
