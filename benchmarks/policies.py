"""What simple rules cost beside the best policy, and how much the bounds prove, on 100 drawn problems; some minutes.

The problems are those that the tests draw: with and without checks that need covers closed, with and without a price of
the check. The bounds do without the exact solution of the whole, with pieces of less than a thirtieth of its work.
"""

import statistics
import sys
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from tests.engine.troubleshooting.clairvoyant import clairvoyant
from tests.engine.troubleshooting.instances import drawn

from knowngood.engine.troubleshooting.bounds import gap
from knowngood.engine.troubleshooting.bounds.gap import narrow
from knowngood.engine.troubleshooting.model.problem import Problem
from knowngood.engine.troubleshooting.policy.exact import Policy
from knowngood.engine.troubleshooting.policy.moves import SHOP
from knowngood.engine.troubleshooting.policy.myopic import ByRatio, Myopic
from knowngood.engine.troubleshooting.policy.tree import grow
from knowngood.engine.troubleshooting.policy.work import work

COUNT, STEPS = 100, 12
SIZE = {"causes": 6, "tests": 6, "repairs": 6, "covers": 3}
LARGE = {"causes": 12, "tests": 14, "repairs": 12, "covers": 3}
LARGE_COUNT = 4


def shares(problem: Problem) -> Iterator[tuple[str, float]]:
    """Yield costs and bounds as shares of the best cost."""
    best = Policy(problem).cost
    rules = {
        "shop at once": lambda _: SHOP,
        "chance over cost, blind to covers": ByRatio(problem, covers=False).next,
        "chance over cost, covers counted": ByRatio(problem).next,
        "one step ahead": Myopic(problem).next,
    }
    for name, choose in rules.items():
        yield name, grow(problem, choose).expected_cost / best
    yield "lower bound: the cause told", clairvoyant(problem) / best
    whole, gap.fits = gap.fits, lambda _: False
    try:
        *_, last = narrow(problem, steps=STEPS, most_work=work(problem) // 30)
    finally:
        gap.fits = whole
    yield "lower bound: its group told", last.lower / best
    yield "upper bound: shortlists, branch by branch", last.upper / best
    yield "the two apart", last.upper / last.lower


def main() -> None:
    """Print mean, least and most of each."""
    found = defaultdict(list)
    for seed in range(COUNT):
        problem = drawn(seed, **SIZE, closing=seed % 2 == 1, check=seed % 4 > 1)
        for name, share in shares(problem):
            found[name].append(share)
    for seed in range(LARGE_COUNT):
        problem = drawn(seed, **LARGE, closing=seed % 2 == 1, check=seed % 4 > 1)
        *_, last = narrow(problem, steps=STEPS)
        found[f"the two apart, {LARGE['tests']} tests and {LARGE['repairs']} repairs"].append(last.upper / last.lower)
    width = max(len(name) for name in found)
    print(f"{'as a share of the best cost':<{width}}   mean  least   most")
    for name, many in found.items():
        print(f"{name:<{width}}  {statistics.fmean(many):>5.3f}  {min(many):>5.3f}  {max(many):>5.3f}")


if __name__ == "__main__":
    main()
