"""Whole networks, with faults at once and what lies between fault and test: our model covers them, if small.

A cause of ours is then one state of everything that is not looked at; what is looked at depends on nothing else. In
this way the 18-node car-start network and its published posteriors come out to the last digit; its tables are not ours
to print, so the networks here are drawn at random.
"""

import warnings
from itertools import product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from knowngood.engine.troubleshooting.belief.posterior import Leaning, Shown, believe
from knowngood.engine.troubleshooting.model.amounts import Chance
from knowngood.engine.troubleshooting.model.parts import OTHER, Cause, Test
from knowngood.engine.troubleshooting.model.problem import Problem

with warnings.catch_warnings():
    # Its generated wrapper warns while it is imported, and crashes the interpreter where that is an error.
    warnings.simplefilter("ignore")
    import pyagrum

# Faults, then what they lead to, then what is looked at: each with its states and what it depends on.
FAULTS = {"belt": 3, "starter": 2, "pump": 2}
BETWEEN = {"charge": (2, ("belt",)), "power": (2, ("charge",)), "cranks": (2, ("power", "starter"))}
LOOKED = {"lights": (2, ("power",)), "gauge": (3, ("power",)), "starts": (2, ("cranks", "pump"))}
NODES = {**{key: (states, ()) for key, states in FAULTS.items()}, **BETWEEN, **LOOKED}


def drawn_tables(seed):
    """For each node the chance of its states, the last axis, under the states of what it depends on."""
    generator = np.random.default_rng(seed)
    return {
        key: generator.dirichlet(np.full(states, 0.4), size=[NODES[one][0] for one in parents])
        for key, (states, parents) in NODES.items()
    }


def network(tables):
    net = pyagrum.BayesNet()
    for key, (states, _) in NODES.items():
        net.add(pyagrum.LabelizedVariable(key, "", [f"state {place}" for place in range(states)]))
    for key, (_, parents) in NODES.items():
        for parent in parents:
            net.addArc(parent, key)
        for place in product(*(range(NODES[parent][0]) for parent in parents)):
            net.cpt(key)[dict(zip(parents, place, strict=True))] = tables[key][place].tolist()
    return net


def as_one_cause(tables):
    """Our problem: a cause for each state of all that is not looked at."""
    hidden = [*FAULTS, *BETWEEN]
    states = [dict(zip(hidden, place, strict=True)) for place in product(*(range(NODES[key][0]) for key in hidden))]

    def row(key, state):
        return tables[key][tuple(state[parent] for parent in NODES[key][1])]

    chances = [float(np.prod([row(key, state)[state[key]] for key in hidden])) for state in states]
    tests = tuple(
        Test(
            key,
            key,
            tuple(f"state {place}" for place in range(count)),
            {str(place): tuple(map(Chance, row(key, state).tolist())) for place, state in enumerate(states)},
            (Chance(1.0), *(Chance(0.0) for _ in range(count - 1))),
        )
        for key, (count, _) in LOOKED.items()
    )
    causes = (*(Cause(str(place), "", Chance(chance)) for place, chance in enumerate(chances)),)
    return Problem((*causes, Cause(OTHER, "none of these", Chance(0.0))), tests, begun=True), states


@given(st.integers(0, 10**6), st.integers(0, 1), st.integers(0, 1), st.lists(st.integers(1, 9), min_size=3, max_size=3))
def test_every_fault_of_a_network_is_as_likely_as_another_library_says(seed, starts, lights, gauge):
    tables = drawn_tables(seed)
    problem, states = as_one_cause(tables)
    inference = pyagrum.LazyPropagation(network(tables))
    inference.setEvidence({"starts": starts, "lights": lights, "gauge": list(map(float, gauge))})
    inference.makeInference()
    leaning = {f"state {place}": float(weight) for place, weight in enumerate(gauge)}
    found = [Shown("starts", f"state {starts}"), Shown("lights", f"state {lights}"), Leaning("gauge", leaning)]
    chances = believe(problem, found).array()
    for fault, count in FAULTS.items():
        ours = [sum(chances[at] for at, state in enumerate(states) if state[fault] == n) for n in range(count)]
        assert ours == pytest.approx(inference.posterior(fault).tolist(), abs=1e-9)
