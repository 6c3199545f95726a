"""What is believed after findings: equal to another library's exact inference, in any order, and able to say why."""

import math
import warnings
from itertools import product

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from tests.engine.troubleshooting.strategies import problems

from knowngood.engine.troubleshooting.belief.posterior import Failed, Leaning, Shown, believe, decibans, moved
from knowngood.engine.troubleshooting.model.amounts import Chance
from knowngood.engine.troubleshooting.model.parts import OTHER, Cause, Repair, Test
from knowngood.engine.troubleshooting.model.problem import Problem, suspects

with warnings.catch_warnings():
    # Its generated wrapper warns while it is imported, and crashes the interpreter where that is an error.
    warnings.simplefilter("ignore")
    import pyagrum


def row(*chances):
    return tuple(Chance(chance) for chance in chances)


# The reduced car-start network: fuel and plugs fail apart from each other, so both at once is a cause of its own.
BOTH = {"fuel": 0.02 * 0.96, "plugs": 0.98 * 0.04, "both": 0.02 * 0.04, OTHER: 0.98 * 0.96}
GAUGE = Test(
    "gauge",
    "fuel gauge",
    ("full", "half", "empty"),
    {"fuel": row(0.001, 0.001, 0.998), "both": row(0.001, 0.001, 0.998)},
    row(0.39, 0.60, 0.01),
)
STARTS = Test("starts", "starts", ("yes", "no"), {"plugs": row(0.01, 0.99), OTHER: row(0.99, 0.01)}, row(0.0, 1.0))
CAR = Problem(tuple(Cause(key, key, Chance(chance)) for key, chance in BOTH.items()), (GAUGE, STARTS))
PRINTED = [
    ({"starts": "no"}, 0.293186, 0.580626),
    ({"starts": "no", "gauge": "half"}, 0.000691, 0.804350),
    ({"starts": "no", "gauge": "empty"}, 0.976413, 0.058041),
]


def of_the_car(found):
    """Chance that there is no fuel, and that the plugs are dirty."""
    chances = believe(CAR, [Shown(test, outcome) for test, outcome in found.items()]).chances
    return chances["fuel"] + chances["both"], chances["plugs"] + chances["both"]


@pytest.mark.published(
    "Jensen, Bayesian networks and decision graphs, 2001, the reduced car start; tables from memory, two libraries"
)
@pytest.mark.parametrize(("found", "fuel", "plugs"), PRINTED)
def test_an_empty_tank_explains_the_plugs_away(found, fuel, plugs):
    assert of_the_car(found) == (pytest.approx(fuel, abs=5e-7), pytest.approx(plugs, abs=5e-7))


@pytest.mark.parametrize("found", [found for found, *_ in PRINTED])
def test_two_faults_at_once_as_a_cause_of_their_own_equal_the_whole_network(found):
    """pyAgrum has fuel and plugs as two nodes, as the textbook does."""
    net = pyagrum.fastBN("fuel{yes|no}->gauge{full|half|empty};fuel->starts{yes|no};plugs{clean|dirty}->starts")
    net.cpt("fuel").fillWith([0.98, 0.02])
    net.cpt("plugs").fillWith([0.96, 0.04])
    net.cpt("gauge")[{"fuel": "yes"}] = [0.39, 0.60, 0.01]
    net.cpt("gauge")[{"fuel": "no"}] = [0.001, 0.001, 0.998]
    net.cpt("starts")[{"fuel": "yes", "plugs": "clean"}] = [0.99, 0.01]
    net.cpt("starts")[{"fuel": "yes", "plugs": "dirty"}] = [0.01, 0.99]
    net.cpt("starts")[{"fuel": "no", "plugs": "clean"}] = [0.0, 1.0]
    net.cpt("starts")[{"fuel": "no", "plugs": "dirty"}] = [0.0, 1.0]
    inference = pyagrum.LazyPropagation(net)
    inference.setEvidence(found)
    inference.makeInference()
    expected = inference.posterior("fuel")[{"fuel": "no"}], inference.posterior("plugs")[{"plugs": "dirty"}]
    assert of_the_car(found) == pytest.approx(expected, abs=1e-9)


# Posteriors of an 18-node car-start network, with "starts: no" and then with "lights: work" too. The lights rule out
# what feeds them and say nothing of the rest.
BEFORE = {"alternator": 0.00313649, "belt": 0.03480094, "battery": 0.77739951, "starter": 0.14459349,
          "pump": 0.01445935, "distributor": 0.01445935, "plugs": 0.00289187}  # fmt: skip
AFTER = {"starter": 0.81463763, "pump": 0.08146376, "plugs": 0.01629275}


@pytest.mark.published(
    "CarStarts, 18 nodes, in the examples of JavaBayes (Cozman): its posteriors, as computed by two libraries"
)
def test_what_says_nothing_of_some_suspects_raises_them_all_by_one_factor():
    """What of that network one fault at a time can say: the suspects left keep their shares against each other.

    By how much all of them rise depends on what else than these seven may stop the engine, and on faults at once.
    """
    lights = Test.shows(
        "lights", "lights work", dict.fromkeys(("alternator", "belt", "battery"), Chance(0.0)), Chance(1.0)
    )
    causes = (*(Cause(key, key, Chance(chance)) for key, chance in BEFORE.items()),)
    causes = (*causes, Cause(OTHER, "others", Chance(1.0 - math.fsum(BEFORE.values()))))
    chances = believe(Problem(causes, (lights,), begun=True), [Shown("lights", "yes")]).chances
    for key in ("pump", "plugs"):
        assert chances[key] / chances["starter"] == pytest.approx(AFTER[key] / AFTER["starter"], rel=2e-6)


@st.composite
def found_in(draw, problem):
    """Findings of some of its tests, certain and doubtful, and repairs that did not help."""
    found = []
    for test in problem.tests:
        kind = draw(st.sampled_from(["none", "shown", "leaning"]))
        if kind == "shown":
            found.append(Shown(test.key, draw(st.sampled_from(test.outcomes))))
        elif kind == "leaning":
            weights = draw(st.lists(st.integers(1, 9), min_size=len(test.outcomes), max_size=len(test.outcomes)))
            found.append(Leaning(test.key, dict(zip(test.outcomes, map(float, weights), strict=True))))
    tried = draw(st.sets(st.sampled_from([*problem.repair_of]), max_size=2)) if problem.repairs else set()
    return found + [Failed(key) for key in sorted(tried)]


def by_pyagrum(problem, findings):
    """The same from a network with the cause as its root; pyAgrum takes doubtful evidence as likelihoods."""
    net, evidence = pyagrum.BayesNet(), {}
    net.add(pyagrum.LabelizedVariable("cause", "", [cause.key for cause in problem.causes]))
    net.cpt("cause").fillWith([cause.chance.value for cause in problem.causes])
    for test in problem.tests:
        net.add(pyagrum.LabelizedVariable(test.key, "", list(test.outcomes)))
        net.addArc("cause", test.key)
        net.cpt(test.key).fillWith([one.value for cause in problem.causes for one in test.row(cause.key)])
    for repair in problem.repairs:
        net.add(pyagrum.LabelizedVariable(repair.key, "", ["gone", "there"]))
        net.addArc("cause", repair.key)
        sure = [repair.fixes[cause.key].value if cause.key in repair.fixes else 0.0 for cause in problem.causes]
        net.cpt(repair.key).fillWith([one for each in sure for one in (each, 1.0 - each)])
    for finding in findings:
        if isinstance(finding, Failed):
            evidence[finding.repair] = "there"
        elif isinstance(finding, Shown):
            evidence[finding.test] = finding.outcome
        else:
            evidence[finding.test] = [finding.weights[word] for word in problem.test_of[finding.test].outcomes]
    inference = pyagrum.LazyPropagation(net)
    inference.setEvidence(evidence)
    inference.makeInference()
    return inference.posterior("cause").tolist()


@given(problems(most_tests=4, quoted=False), st.data())
def test_it_equals_exact_inference_by_another_library(problem, data):
    findings = data.draw(found_in(problem))
    assert list(believe(problem, findings).chances.values()) == pytest.approx(by_pyagrum(problem, findings), abs=1e-9)


FAULTS = [f"fault {place}" for place in range(5)]


def with_faults_at_once(random):
    """A network with faults that come independently, each test shown by any of several, and a node "just one fault".

    Returns the network, the chance of each fault, and for each test its leak and the strength of each fault.
    """
    net = pyagrum.BayesNet()
    chances = {key: random.uniform(0.01, 0.4) for key in FAULTS}
    for key, chance in chances.items():
        net.add(pyagrum.LabelizedVariable(key, "", ["no", "yes"]))
        net.cpt(key).fillWith([1.0 - chance, chance])
    shown = {}
    for place in range(4):
        strengths = {key: random.uniform(0.1, 0.99) for key in random.sample(FAULTS, 3)}
        shown[f"test {place}"] = random.uniform(0.01, 0.3), strengths
    for key, (leak, strengths) in {**shown, "just one": (0.0, dict.fromkeys(FAULTS, 1.0))}.items():
        net.add(pyagrum.LabelizedVariable(key, "", ["no", "yes"]))
        for fault in strengths:
            net.addArc(fault, key)
        for present in product((0, 1), repeat=len(strengths)):
            missed = math.prod(1.0 - one for one, is_there in zip(strengths.values(), present, strict=True) if is_there)
            chance = float(sum(present) == 1) if key == "just one" else 1.0 - (1.0 - leak) * missed
            net.cpt(key)[dict(zip(strengths, present, strict=True))] = [1.0 - chance, chance]
    return net, chances, shown


@given(st.randoms(use_true_random=False))
def test_it_equals_a_network_of_faults_at_once_that_is_told_there_is_just_one(random):
    """What our model covers of such a network: each test as it is with that fault alone, each fault by its odds."""
    net, chances, shown = with_faults_at_once(random)
    odds = {key: chance / (1.0 - chance) for key, chance in chances.items()}
    whole = math.fsum(odds.values())
    causes = tuple(Cause(key, key, Chance(part / whole)) for key, part in odds.items())
    tests = tuple(
        Test.shows(
            key, key, {one: Chance(1.0 - (1.0 - leak) * (1.0 - q)) for one, q in strengths.items()}, Chance(leak)
        )
        for key, (leak, strengths) in shown.items()
    )
    problem = Problem((*causes, Cause(OTHER, "none of these", Chance(0.0))), tests, begun=True)
    found = {test.key: random.choice(["no", "yes"]) for test in tests}
    inference = pyagrum.LazyPropagation(net)
    inference.setEvidence({**found, "just one": "yes"})
    inference.makeInference()
    ours = believe(problem, [Shown(test, outcome) for test, outcome in found.items()]).chances
    expected = {fault: inference.posterior(fault)[{fault: "yes"}] for fault in FAULTS}
    assert ours == pytest.approx({**expected, OTHER: 0.0}, abs=1e-9)


@given(problems(most_tests=4, quoted=False), st.data(), st.randoms(use_true_random=False))
def test_the_order_of_findings_does_not_matter(problem, data, random):
    findings = data.draw(found_in(problem))
    mixed = random.sample(findings, len(findings))
    assert believe(problem, mixed).chances == pytest.approx(believe(problem, findings).chances, abs=1e-12)


@given(problems(most_tests=3, quoted=False), st.data())
def test_what_each_finding_moved_adds_up(problem, data):
    findings = data.draw(found_in(problem))
    rows = moved(problem, findings)
    before, after = believe(problem).chances, believe(problem, findings).chances
    for key in before:
        mine = [one for one in rows if one.cause == key]
        assume(all(0.0 < one.after < 1.0 for one in mine))
        total = math.fsum(one.decibans for one in mine)
        assert total == pytest.approx(decibans(after[key]) - decibans(before[key]), abs=1e-9)
    for one in rows:
        kept = [finding for finding in findings if finding is not one.finding]
        assert one.without == believe(problem, kept).chances[one.cause]


def test_a_finding_that_is_as_likely_either_way_moves_nobody():
    problem = Problem(suspects({"a": 1, "b": 2}), (Test.shows("t", "t", {"a": Chance(0.9)}, Chance(0.2)),))
    assert believe(problem, [Leaning("t", {"yes": 1.0, "no": 1.0})]).chances == pytest.approx(believe(problem).chances)


def test_a_weight_of_evidence_of_ten_decibans_is_ten_times_the_odds():
    problem = Problem(suspects({"a": 1}, other=0.5), (Test.shows("t", "t", {"a": Chance(0.9)}, Chance(0.09)),))
    assert [round(one.decibans, 9) for one in moved(problem, [Shown("t", "yes")])] == [10.0, -10.0]


def test_what_excludes_a_suspect_weighs_without_end_and_then_nothing():
    shows = {"a": Chance(0.0)}
    looks = tuple(Test.shows(key, key, shows, Chance(0.5)) for key in ("one", "two"))
    rows = moved(Problem(suspects({"a": 1, "b": 1}), looks), [Shown("one", "yes"), Shown("two", "yes")])
    assert [one.decibans for one in rows if one.cause == "a"] == [-math.inf, 0.0]


REFUSED = {
    "a finding twice": (
        [Shown("starts", "no"), Shown("starts", "no")],
        '"starts" is among the findings twice, and would count twice; combine the readings into one, or take one back.',
    ),
    "an outcome nobody defined": (
        [Shown("starts", "maybe")],
        'test "starts" cannot show "maybe"; it shows yes, no. Write one of these.',
    ),
    "an unknown test": (
        [Shown("horn", "no")],
        "a finding names horn, and there is no such test; there is gauge, starts. Define it first.",
    ),
    "an unknown repair": (
        [Failed("horn")],
        "a finding names horn, and there is no such repair; there is none yet. Define it first.",
    ),
    "a weight below zero": (
        [Leaning("starts", {"no": -1.0})],
        'test "starts": no weighs -1; a weight is zero or more.',
    ),
    "what nothing can show": (
        [Leaning("starts", {"no": 0.0})],
        "no suspect, nor none of these, can show all that was found; take back a finding, "
        "or allow 1 of 100 where a test was said never to show something.",
    ),
}


@pytest.mark.parametrize("name", REFUSED)
def test_findings_that_cannot_be_used_are_said_with_their_remedy(name):
    findings, message = REFUSED[name]
    with pytest.raises(ValueError) as refused:  # noqa: PT011 - the whole message is compared
        believe(CAR, findings)
    assert str(refused.value) == message


def test_the_likeliest_suspect_has_a_name():
    relay = Repair("relay", "new relay", {"a": Chance(0.9)})
    problem = Problem(suspects({"a": 2, "b": 1}, other=0.6), (), (relay,))
    assert believe(problem).likeliest == "a"
    assert believe(problem, [Failed("relay")]).likeliest == "b"
