"""What cannot be used of a troubleshooting problem is said with its remedy; the rest keeps its numbers."""

import re

import pytest

from knowngood.engine.troubleshooting.model.amounts import Chance, Price
from knowngood.engine.troubleshooting.model.likely import WORDS, in_words, of_ten
from knowngood.engine.troubleshooting.model.parts import OTHER, Cause, Cover, Quote, Repair, Test
from knowngood.engine.troubleshooting.model.problem import Problem, suspects
from knowngood.engine.troubleshooting.model.tables import tables

CAUSES = suspects({"pump": 1, "relay": 1}, other=0.1)
SMELL = Test.shows("smell", "smells of fuel", {"pump": Chance(0.8)}, Chance(0.1))


def two(first, second):
    return (Cause("pump", "pump", Chance(first)), Cause(OTHER, "none of these", Chance(second)))


REFUSED = {
    "chances above 1": (
        lambda: Problem(two(0.9, 0.2)),
        "the chances of the suspects add up to 1.1 with none of these; they must add up to 1. "
        "Change one of them, or rank them instead.",
    ),
    "chances below 1": (
        lambda: Problem(two(0.5, 0.2)),
        "the chances of the suspects add up to 0.7 with none of these; they must add up to 1. "
        "Change one of them, or rank them instead.",
    ),
    "none of these too small": (
        lambda: Problem(two(0.98, 0.02)),
        '"none of these" is at 2.0%; no list is complete, so leave it at least 5% and lower the others.',
    ),
    "none of these missing": (
        lambda: Problem((Cause("pump", "pump", Chance(1.0)),)),
        '"none of these" is missing; no list is complete, so leave it at least 5% and lower the others.',
    ),
    "no suspect": (lambda: suspects({}), "there is no suspect; name at least one thing that could be wrong."),
    "a suspect without weight": (
        lambda: suspects({"pump": 0}),
        "suspect pump has the weight 0; it is above zero. Take out what is excluded.",
    ),
    "outcomes that do not add up": (
        lambda: Test("smell", "smell", ("yes", "no"), {"pump": (Chance(0.8), Chance(0.3))}),
        'test "smell": the chances of its outcomes with pump add up to 1.1; they must add up to 1. Change one of them.',
    ),
    "too few chances": (
        lambda: Test("smell", "smell", ("yes", "no"), {"pump": (Chance(1.0),)}),
        'test "smell" has 2 outcomes, and 1 chances for pump; give one for each outcome.',
    ),
    "one outcome": (
        lambda: Test("smell", "smell", ("yes",), {}),
        'test "smell" can show yes; name two or more outcomes, each once.',
    ),
    "an outcome nobody defined": (
        lambda: SMELL.outcome("strongly"),
        'test "smells of fuel" cannot show "strongly"; it shows yes, no. Write one of these.',
    ),
    "a test of an unknown suspect": (
        lambda: Problem(CAUSES, (Test.shows("t", "t", {"fuse": Chance(0.5)}, Chance(0.1)),)),
        'test "t" names fuse, and there is no such suspect; there is other, pump, relay. Define it first.',
    ),
    "a test that leaves a suspect out": (
        lambda: Problem(CAUSES, (Test("t", "t", ("yes", "no"), {"pump": (Chance(0.5), Chance(0.5))}),)),
        'test "t" does not say what it shows with relay; give its chances, or those without.',
    ),
    "a repair that fixes nothing": (
        lambda: Repair("r", "new pump", {}),
        'repair "new pump" fixes nothing; name a suspect that it fixes, or take it out.',
    ),
    "a repair that never works": (
        lambda: Repair("r", "new pump", {"pump": Chance(0.0)}),
        'repair "new pump" fixes nothing; name a suspect that it fixes, or take it out.',
    ),
    "a repair of none of these": (
        lambda: Repair("r", "new pump", {OTHER: Chance(0.5)}),
        'repair "new pump" is said to fix "none of these"; nobody knows what that is. Name the suspect.',
    ),
    "a repair of an unknown suspect": (
        lambda: Problem(CAUSES, (), (Repair("r", "new fuse", {"fuse": Chance(1.0)}),)),
        'repair "new fuse" names fuse, and there is no such suspect; there is other, pump, relay. Define it first.',
    ),
    "a cover inside itself": (
        lambda: Problem(CAUSES, covers=(Cover("a", "lid", inside="b"), Cover("b", "pan", inside="a"))),
        'cover "lid" lies inside itself; say which cover comes off first.',
    ),
    "an unknown cover around": (
        lambda: Problem(CAUSES, covers=(Cover("a", "lid", inside="b"),)),
        'cover "lid" names b, and there is no such cover; there is a. Define it first.',
    ),
    "an unknown cover": (
        lambda: Problem(CAUSES, (), (Repair("r", "new pump", {"pump": Chance(1.0)}, cover="pan"),)),
        '"new pump" names pan, and there is no such cover; there is none yet. Define it first.',
    ),
    "an unknown open cover": (
        lambda: Problem(CAUSES, open_already=frozenset({"pan"})),
        "what is off already names pan, and there is no such cover; there is none yet. Define it first.",
    ),
    "something unknown for free": (
        lambda: Problem(CAUSES, (SMELL,), free=frozenset({"pan"})),
        "what the job does anyway names pan, and there is no such test, repair or cover; there is smell. "
        "Define it first.",
    ),
    "a key twice": (lambda: Problem(CAUSES, (SMELL, SMELL)), "smell is defined twice; give one of them another key."),
    "no quote": (
        lambda: tables(Problem(CAUSES)),
        "there is no quote, and what is none of these only the shop can mend; "
        "ask a shop, or write the most that you would pay to have it mended.",
    ),
    "half a quote": (
        lambda: Quote(Price(100.0), frozenset({"pump"})),
        "the quote does not cover every suspect, and what comes on top is missing; "
        "ask the shop, or write what the dearest repair would cost.",
    ),
    "a quote for an unknown suspect": (
        lambda: Problem(CAUSES, quote=Quote(Price(100.0), frozenset({"fuse"}), Price(50.0))),
        "the quote names fuse, and there is no such suspect; there is other, pump, relay. Define it first.",
    ),
    "an hour below zero": (
        lambda: Problem(CAUSES, rate_per_hour=-1.0),
        "an hour worth -1; it is zero or more. Write 0 when time is free.",
    ),
    "a chance above 1": (
        lambda: Chance(8.0),
        "a probability of 8 between 8 and 8; it lies between 0 and 1, in its range. Write 8 of 10 as 0.8.",
    ),
    "a chance outside its range": (
        lambda: Chance(0.5, 0.6, 0.9),
        "a probability of 0.5 between 0.6 and 0.9; it lies between 0 and 1, in its range. Write 8 of 10 as 0.8.",
    ),
    "a price below zero": (
        lambda: Price(-5.0),
        "-5 money; a price is zero or more. Leave it out when there is none.",
    ),
    "no word of ours": (
        lambda: in_words("often"),
        '"often" is not a word for how often; write nearly always, usually, sometimes, rarely, or a number of 10 '
        "vehicles.",
    ),
    "more than ten": (lambda: of_ten(11), "11 of 10 vehicles; it is 0 to 10. Write 8 for 80 %."),
}


@pytest.mark.parametrize("name", REFUSED)
def test_what_cannot_be_used_is_said_with_its_remedy(name):
    make, message = REFUSED[name]
    with pytest.raises(ValueError, match=f"^{re.escape(message)}$"):
        make()


def test_a_number_that_is_none_is_refused():
    for value in (float("nan"), float("inf")):
        with pytest.raises(ValueError, match="a probability of"):
            Chance(value)
        with pytest.raises(ValueError, match="a price is zero or more"):
            Price(0.0, value)


def test_ranks_become_chances_with_none_of_these_kept():
    assert [(one.key, one.chance.value) for one in suspects({"a": 3, "b": 1}, other=0.2)] == [
        ("a", pytest.approx(0.6)),
        ("b", pytest.approx(0.2)),
        (OTHER, 0.2),
    ]


def test_equal_suspects_leave_none_of_these_at_the_least_that_is_allowed():
    problem = Problem(suspects({"a": 1, "b": 1, "c": 1}))
    assert problem.cause_of[OTHER].chance.value == 0.05


def test_nested_covers_are_paid_together_and_only_while_they_are_on():
    covers = (Cover("lid", "lid", Price(1.0, 10.0), Price(2.0)), Cover("pan", "pan", Price(4.0), Price(8.0), "lid"))
    problem = Problem(CAUSES, covers=covers)
    assert problem.path("pan") == {"lid", "pan"}
    assert problem.access(problem.path("pan"), ()) == Price(15.0, 10.0)
    assert problem.access(problem.path("pan"), {"lid"}) == Price(12.0)


def test_what_is_off_is_off_with_what_is_around_it():
    covers = (Cover("lid", "lid"), Cover("pan", "pan", inside="lid"))
    assert Problem(CAUSES, covers=covers, open_already=frozenset({"pan"})).open_at_start == {"lid", "pan"}


def test_what_the_job_does_anyway_costs_nothing_more():
    pan = Cover("pan", "pan", Price(5.0), Price(7.0))
    test = Test.shows("smell", "smell", {"pump": Chance(0.8)}, Chance(0.1), price=Price(3.0), cover="pan")
    problem = Problem(CAUSES, (test,), covers=(pan,), free=frozenset({"smell", "pan"}))
    assert problem.own_price(test) == Price()
    assert problem.access({"pan"}, ()) == Price()


def test_a_quote_that_leaves_a_suspect_out_costs_more_with_it():
    quote = Quote(Price(100.0, 30.0), frozenset({"pump"}), Price(50.0))
    assert quote.for_cause("pump") == Price(100.0, 30.0)
    assert quote.for_cause(OTHER) == Price(150.0, 30.0)


@pytest.mark.published("ICD 203: very likely 80-95 %, almost certain 95-99 %, likely 55-80 %, unlikely 20-45 %")
def test_our_words_overlap_the_published_ones_that_they_are_nearest_to():
    for word, (low, high) in {
        "nearly always": (0.95, 0.99),
        "usually": (0.55, 0.95),
        "sometimes": (0.20, 0.55),
    }.items():
        assert low <= WORDS[word].value <= high


def test_what_ten_vehicles_show_is_never_certain():
    assert of_ten(0) == Chance(0.01, 0.01, 0.1)
    assert of_ten(10).value == 0.99
