"""What to do next about a fault: at once by rules of thumb, then better, and how far from the best it can be."""

import hashlib
import json
import math
from collections import deque
from collections.abc import Iterator
from dataclasses import asdict, dataclass, replace

from knowngood.acts.faults.suspects import Suspected
from knowngood.engine.troubleshooting.bounds.gap import narrow
from knowngood.engine.troubleshooting.model.amounts import Price
from knowngood.engine.troubleshooting.model.problem import Problem
from knowngood.engine.troubleshooting.policy.moves import Action, Kind, start
from knowngood.engine.troubleshooting.policy.myopic import ByRatio, Myopic
from knowngood.engine.troubleshooting.policy.outlook import action_price, shop_price
from knowngood.engine.troubleshooting.policy.shape import Shape
from knowngood.engine.troubleshooting.policy.tree import Tree, grow

# What to say where a plan has nothing to be weighed against.
NO_QUOTE = (
    "No quote is known. What is none of the suspects only a shop mends, so what to do next hangs on its price. "
    "Ask a shop, or write the most that you would pay to have it mended."
)
FINISHED = "This job is finished, so nothing is advised. To go on, open it again in the Book."
HAND_OVER = "hand it over to the shop"
# Ours: pieces of work for a plan that somebody waits for, and for one that is made while the page is read.
AT_ONCE, PATIENT = 2, 60
# Ours: states of a problem that is solved exactly as quickly as a page is made.
SMALL = 500_000
# Ours: a proof looser than this is none; and one tighter than the last digits of a sum is exact.
LOOSEST, TIGHTEST = 1.0, 1e-6
MOST_KEPT = 64


def nothing_next(found: Suspected, plan: "Plan | None") -> str:
    """Return why nothing is advised, in words; empty where something is."""
    if found.gone_by is not None:
        return f"The fault was gone after “{found.gone_by}”."
    if found.finished:
        return FINISHED
    return NO_QUOTE if plan is None else ""


@dataclass(frozen=True)
class Next:
    """What to do next.

    Args:
        kind: A test, repairs with one check after them, or handing over.
        keys: Of the test or the repairs; none of the shop.
        names: What the sheet calls them.
        price: What it takes, the way in and the check included; of the shop on average. [money, min]
        pays: How much less it costs on average, in the end, than to hand over at once. [money]
    """

    kind: Kind
    keys: tuple[str, ...]
    names: tuple[str, ...]
    price: Price
    pays: float

    @property
    def key(self) -> str:
        """The keys in one, such as "hose+clamp"; "shop" for the shop."""
        return "+".join(self.keys) or Kind.SHOP.value

    @property
    def name(self) -> str:
        """The names in one."""
        return " and ".join(self.names) or HAND_OVER


@dataclass(frozen=True)
class Plan:
    """The best plan that is known, and what is proved of it.

    Args:
        problem: What it is for: what is left after the findings.
        next: What to do next.
        tree: The whole plan, without branches taken less often than 1 time in 100.
        whole: The same with all branches.
        proved_gap: How much dearer on average than the best it can be, as a share of the best; 0 when it is the best,
            infinite when nothing is proved.
        steps: Pieces of work that it took.
        settled: No further work makes it better.
    """

    problem: Problem
    next: Next
    tree: Tree
    whole: Tree
    proved_gap: float
    steps: int
    settled: bool

    @property
    def expected(self) -> Price:
        """What it takes on average until the fault is gone. [money, min]"""
        return self.whole.expected

    @property
    def expected_cost(self) -> float:
        """The same in one sum. [money]"""
        return self.whole.expected_cost

    @property
    def worst(self) -> Price:
        """The dearest way that it can go. [money, min]"""
        return self.whole.worst.dearest

    @property
    def shop_chance(self) -> float:
        """Chance of ending at the quote."""
        return self.whole.shop_chance

    @property
    def exact(self) -> bool:
        """Nothing is cheaper on average."""
        return self.proved_gap == 0.0

    @property
    def label(self) -> str:
        """What is proved: "exact", "proved within 12 %" or "looks one step ahead"."""
        if self.exact:
            return "exact"
        if self.proved_gap > LOOSEST:
            return "looks one step ahead"
        return f"proved within {math.ceil(100.0 * self.proved_gap - TIGHTEST):d} %"


_kept: dict[str, Plan] = {}


def plans(found: Suspected, *, steps: int = PATIENT) -> Iterator[Plan]:
    """Yield a plan at once, then better ones, none dearer and none less proved than the one before.

    A small problem is solved exactly at once. The newest plan is kept: of a problem that was settled before, or worked
    at as long, that one comes again.

    Args:
        found: What could be wrong.
        steps: Pieces of work at the most, each some seconds' on a plain computer; the first takes no time.

    Returns:
        Nothing when there is no quote, see `NO_QUOTE`, or when the fault is gone.
    """
    problem = found.left
    if problem is None or problem.quote is None:
        return
    mark = digest(problem)
    known = _kept.get(mark)
    if known is not None and (known.settled or known.steps >= steps):
        yield known
        return
    for plan in _ever_better(problem, steps):
        _keep(mark, plan)
        yield plan


def _ever_better(problem: Problem, steps: int) -> Iterator[Plan]:
    small = Shape(problem).cells <= SMALL
    best = None if small else _looking_ahead(problem)
    if best is not None:
        yield best
    if steps < AT_ONCE and not small:
        return
    for answer in narrow(problem, steps=max(steps, AT_ONCE)):
        made = _plan(problem, answer.tree, lower=answer.lower, steps=answer.steps)
        if best is not None and best.expected_cost < made.expected_cost:
            made = _plan(problem, best.whole, lower=answer.lower, steps=answer.steps)
        best = made
        if best.settled or not small:
            yield best
        if best.settled:
            return
    if best is not None and best.steps < steps:
        yield replace(best, settled=True)


def _looking_ahead(problem: Problem) -> Plan:
    """One step ahead for the next action, then repairs by chance over cost: quick at any size, and nothing proved."""
    here, first, then = start(problem), Myopic(problem).next(), ByRatio(problem)
    return _plan(problem, grow(problem, lambda state: first if state == here else then.next(state)), lower=0.0, steps=1)


def plan_of(found: Suspected, *, budget: int = AT_ONCE) -> Plan | None:
    """Return the best plan that so much work finds; None without a quote, or when the fault is gone.

    Args:
        found: What could be wrong.
        budget: Pieces of work at the most: 1 for what takes no time, 2 for the best where that fits in memory.
    """
    return next(iter(deque(plans(found, steps=budget), maxlen=1)), None)


def known_plan(found: Suspected) -> Plan | None:
    """Return the best plan that was made for this before; None when there was none yet. Takes no time."""
    return None if found.left is None else _kept.get(digest(found.left))


def digest(problem: Problem) -> str:
    """Return a mark that two problems share only when they are the same."""
    return hashlib.sha256(json.dumps(asdict(problem), default=sorted).encode()).hexdigest()


def _keep(mark: str, plan: Plan) -> None:
    """Keep the newest plan of a problem, and not too many."""
    _kept[mark] = plan
    while len(_kept) > MOST_KEPT:
        _kept.pop(next(iter(_kept)), None)


def _plan(problem: Problem, tree: Tree, *, lower: float, steps: int) -> Plan:
    gap = _gap(tree.expected_cost, lower)
    return Plan(
        problem=problem,
        next=next_of(problem, tree.action, expected_cost=tree.expected_cost),
        tree=tree.shown(),
        whole=tree,
        proved_gap=gap,
        steps=steps,
        settled=gap == 0.0,
    )


def _gap(cost: float, lower: float) -> float:
    """How much dearer than the best it can be, as a share of the best."""
    if cost <= lower * (1.0 + TIGHTEST):
        return 0.0
    return cost / lower - 1.0 if lower > 0.0 else math.inf


def next_of(problem: Problem, action: Action, *, expected_cost: float) -> Next:
    """Return an action at the start of a problem with its names, and what it pays against handing over at once.

    Args:
        problem: The problem, with its quote.
        action: What is done first.
        expected_cost: Of all that follows, the action included. [money]
    """
    things = problem.repair_of if action.kind is Kind.REPAIR else problem.test_of
    here = start(problem)
    return Next(
        action.kind,
        action.keys,
        tuple(things[key].name for key in action.keys),
        action_price(problem, here, action),
        problem.cost(shop_price(problem, here)) - expected_cost,
    )
