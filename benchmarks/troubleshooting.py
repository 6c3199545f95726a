"""The exact best order of tests and repairs: time and memory against size; and a belief beside another library's."""

import sys
import time
import tracemalloc
import warnings

import numpy as np
from timing import seconds

from knowngood.engine.troubleshooting.belief.posterior import Shown, believe
from knowngood.engine.troubleshooting.model.amounts import Chance, Price
from knowngood.engine.troubleshooting.model.parts import Cover, Quote, Repair, Test
from knowngood.engine.troubleshooting.model.problem import Problem, suspects
from knowngood.engine.troubleshooting.policy.lattice import Lattice
from knowngood.engine.troubleshooting.policy.moves import start

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # its generated wrapper warns while it is imported
    import pyagrum

COVERS = 3
# Tests, their outcomes, repairs, and whether the check after a repair needs covers closed.
SIZES = [(6, 2, 6, False), (8, 2, 8, False), (10, 2, 8, False), (8, 3, 8, False), (8, 2, 8, True), (10, 2, 8, True)]


def drawn(tests: int, outcomes: int, repairs: int, closing: bool, causes: int = 8, seed: int = 6) -> Problem:
    """A problem of a given size, all else at random."""
    random = np.random.default_rng(seed)
    keys = [f"cause {place}" for place in range(causes - 1)]
    words = tuple(f"outcome {place}" for place in range(outcomes))

    def chances() -> tuple[Chance, ...]:
        return tuple(map(Chance, random.dirichlet(np.full(outcomes, 0.5)).tolist()))

    def test(key: str) -> Test:
        return Test(key, key, words, {one: chances() for one in keys}, chances(), price(1, 20), cover())

    def repair(place: int) -> Repair:
        fixes = {keys[place % len(keys)]: Chance(random.uniform(0.7, 1.0))}
        key = f"repair {place}"
        return Repair(key, key, fixes, price(5, 80), cover(), needs_closed_check=closing)

    def price(low: float, high: float) -> Price:
        return Price(random.uniform(low, high), random.uniform(low, high))

    def cover() -> str:
        return f"cover {random.integers(COVERS)}"

    return Problem(
        suspects(dict(zip(keys, random.uniform(1.0, 9.0, len(keys)).tolist(), strict=True))),
        tuple(test(f"test {place}") for place in range(tests)),
        tuple(repair(place) for place in range(repairs)),
        tuple(Cover(f"cover {place}", f"cover {place}", price(5, 40)) for place in range(COVERS)),
        Quote(Price(400.0, 60.0)),
        rate_per_hour=20.0,
    )


def rows() -> list[tuple[str, float, float, float]]:
    """One size of each kind against a sum over as many numbers, and a belief against pyAgrum's."""
    return [_solved(8, 2, 8, False), _solved(6, 2, 8, True), _believed(30, 40)]


def _solved(tests: int, outcomes: int, repairs: int, closing: bool) -> tuple[str, float, float, float]:
    problem = drawn(tests, outcomes, repairs, closing)
    ours = seconds(lambda: Lattice(problem), rounds=3)
    numbers = np.ones(Lattice(problem).shape.cells)
    yardstick = seconds(lambda: numbers + numbers)
    closed = ", closed to check" if closing else ""
    name = f"best order, {tests} tests, {repairs} repairs{closed}, against adding as many numbers"
    return name, ours, yardstick, ours / yardstick


def _believed(causes: int, tests: int) -> tuple[str, float, float, float]:
    problem = drawn(tests, 2, 0, closing=False, causes=causes)
    findings = [Shown(test.key, test.outcomes[0]) for test in problem.tests]
    inference = pyagrum.LazyPropagation(_network(problem))
    inference.setEvidence({one.test: one.outcome for one in findings})

    def theirs() -> object:
        inference.eraseAllEvidence()
        inference.setEvidence({one.test: one.outcome for one in findings})
        inference.makeInference()
        return inference.posterior("cause")

    expected = np.array(theirs().tolist())
    apart = np.abs(believe(problem, findings).array() - expected).max()
    if apart > 1e-9:
        sys.exit(f"belief and pyAgrum are {apart:.1e} apart.")
    ours, yardstick = seconds(lambda: believe(problem, findings)), seconds(theirs)
    return f"belief, {causes} causes, {tests} tests, against pyAgrum", ours, yardstick, ours / yardstick


def _network(problem: Problem) -> pyagrum.BayesNet:
    net = pyagrum.BayesNet()
    net.add(pyagrum.LabelizedVariable("cause", "", [cause.key for cause in problem.causes]))
    net.cpt("cause").fillWith([cause.chance.value for cause in problem.causes])
    for test in problem.tests:
        net.add(pyagrum.LabelizedVariable(test.key, "", list(test.outcomes)))
        net.addArc("cause", test.key)
        net.cpt(test.key).fillWith([one.value for cause in problem.causes for one in test.row(cause.key)])
    return net


def sizes() -> None:
    """Print time, memory and answer against size; processor time too, for a machine that does other things."""
    print("tests outcomes repairs closed     numbers       s   cpu s  peak MB     cost")
    for size in SIZES:
        problem = drawn(*size)
        tracemalloc.start()
        began, used = time.perf_counter(), time.process_time()
        found = Lattice(problem)
        took, used = time.perf_counter() - began, time.process_time() - used
        peak = tracemalloc.get_traced_memory()[1] / 1e6
        tracemalloc.stop()
        tests, outcomes, repairs, closing = size
        shown = f"{tests:>5} {outcomes:>8} {repairs:>7} {'yes' if closing else 'no':>6} {found.shape.cells:>11}"
        print(f"{shown} {took:>7.2f} {used:>7.2f} {peak:>8.0f} {found.at(start(problem)):>8.2f}")


if __name__ == "__main__":
    sizes()
    for name, ours, yardstick, ratio in rows():
        print(f"{name}: {1e3 * ours:.2f} ms, {1e3 * yardstick:.2f} ms, {ratio:.2f} times")
