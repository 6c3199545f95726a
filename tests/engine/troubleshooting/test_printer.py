"""A published network of a printer that prints nothing: what our model covers of it is believed as it says.

First with faults at once: a cause of ours is a state of the four faults whose chances are published and of two nodes
that lie between them and what is looked at. Then in the ordinary form, one fault or none of these. In the first way all
16 symptoms of the network and each of its 60 other nodes come out too; that takes 32768 causes, and its tables.
"""

import tomllib
from itertools import product
from pathlib import Path

import pytest

from knowngood.engine.troubleshooting.belief.posterior import Leaning, Shown, believe, decibans, moved
from knowngood.engine.troubleshooting.model.amounts import Chance
from knowngood.engine.troubleshooting.model.parts import OTHER, Cause, Test
from knowngood.engine.troubleshooting.model.problem import Problem

COMPUTED = tomllib.loads((Path(__file__).parent / "printer.toml").read_text(encoding="utf-8"))
AT_ONCE, ALONE = COMPUTED["at_once"], COMPUTED["alone"]
NETWORK = "win95pts, 76 nodes, in the Bayesian network repository of bnlearn (Scutari 2010)"
# Posteriors with Problem1 = No_Output.
PRINTED = {"FllCrrptdBffr": 0.277974, "PrtOn": 0.184208, "PrtDriver": 0.166820, "PTROFFLINE": 0.338604}

FAULTS = [*AT_ONCE["apart"], "PrtDriver", "PrtDataOut"]
STATES = list(product((0, 1), repeat=len(FAULTS)))


def row(second):
    return Chance(1.0 - second), Chance(second)


def key(state):
    """Name of a cause; with no fault it is none of these."""
    return " ".join(fault for fault, there in zip(FAULTS, state, strict=True) if there) or OTHER


def before(state):
    chance = AT_ONCE["together"][2 * state[-2] + state[-1]]
    for there, fault in zip(state, AT_ONCE["apart"].values(), strict=False):
        chance *= fault if there else 1.0 - fault
    return chance


def symptom(name, states, of, second):
    """A test that hangs on some of the faults, whichever others are there."""
    at = dict(zip(product((0, 1), repeat=len(of)), second, strict=True))
    places = [FAULTS.index(fault) for fault in of]
    return Test(
        name, name, tuple(states), {key(state): row(at[tuple(state[one] for one in places)]) for state in STATES}
    )


AT_ONCE_PROBLEM = Problem(
    tuple(Cause(key(state), "", Chance(before(state))) for state in STATES),
    tuple(symptom(name, **looked_at) for name, looked_at in AT_ONCE["looked_at"].items()),
)
ALONE_PROBLEM = Problem(
    tuple(Cause(fault, "", Chance(chance)) for fault, chance in ALONE["before"].items()),
    tuple(
        Test(name, name, tuple(one["states"]), {fault: row(chance) for fault, chance in one["with"].items()},
             row(one["without"]))
        for name, one in ALONE["looked_at"].items()
    ),
)  # fmt: skip


def findings(found):
    return [Shown(test, it) if isinstance(it, str) else Leaning(test, it) for test, it in found.items()]


def of_each_fault(found):
    """The belief in each fault, with whatever other faults."""
    chances = believe(AT_ONCE_PROBLEM, findings(found)).array()
    return {
        fault: sum(chance for chance, state in zip(chances, STATES, strict=True) if state[place])
        for place, fault in enumerate(FAULTS)
    }


@pytest.mark.published(f"{NETWORK}: its posteriors, as computed by two libraries")
def test_with_no_output_four_faults_are_as_likely_as_published():
    ours = of_each_fault({"Problem1": "No_Output"})
    assert {fault: ours[fault] for fault in PRINTED} == pytest.approx(PRINTED, abs=5e-7)


# One symptom after the other, then the file's withdrawn, then quite another story.
@pytest.mark.published(f"{NETWORK}: results computed from all of it by pyAgrum")
@pytest.mark.parametrize("after", AT_ONCE["after"], ids=lambda after: " ".join(after["found"]))
def test_each_fault_is_as_likely_as_the_whole_network_says(after):
    assert list(of_each_fault(after["found"]).values()) == pytest.approx(after["faults"], abs=1e-9)
    explained = believe(AT_ONCE_PROBLEM, findings(after["found"])).explained
    assert explained == pytest.approx(after["explained"], abs=1e-9)


@pytest.mark.published(f"{NETWORK}: results computed from all of it by pyAgrum")
@pytest.mark.parametrize("after", ALONE["after"], ids=lambda after: " ".join(after["found"]))
def test_each_suspect_is_as_likely_as_the_whole_network_says_of_one_fault_at_most(after):
    belief = believe(ALONE_PROBLEM, findings(after["found"]))
    assert list(belief.chances.values()) == pytest.approx(after["faults"], abs=1e-9)
    assert belief.explained == pytest.approx(after["explained"], abs=1e-9)


@pytest.mark.published(f"{NETWORK}: results computed from all of it by pyAgrum")
def test_what_the_icon_moved_is_what_the_network_says_before_it_with_it_and_without_it():
    first, with_icon, all_found, without_icon, *_ = ALONE["after"]
    icon = [one for one in moved(ALONE_PROBLEM, findings(all_found["found"])) if one.finding.test == "PrtIcon"]
    assert [one.before for one in icon] == pytest.approx(first["faults"], abs=1e-9)
    assert [one.after for one in icon] == pytest.approx(with_icon["faults"], abs=1e-9)
    assert [one.without for one in icon] == pytest.approx(without_icon["faults"], abs=1e-9)
    weights = [decibans(b) - decibans(a) for a, b in zip(first["faults"], with_icon["faults"], strict=True)]
    assert [one.decibans for one in icon] == pytest.approx(weights, abs=1e-6)
