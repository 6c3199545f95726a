"""What to do next about a fault: at once by rules of thumb, then better, and how far from the best it can be."""

import hashlib
import json
import math
from collections import deque
from collections.abc import Iterator
from dataclasses import asdict, dataclass

from knowngood.acts.suspects import Suspected
from knowngood.engine.troubleshooting.amounts import Price
from knowngood.engine.troubleshooting.bounds import Answer, narrow
from knowngood.engine.troubleshooting.moves import Action, Kind, start
from knowngood.engine.troubleshooting.outlook import action_price, shop_price
from knowngood.engine.troubleshooting.problem import Problem
from knowngood.engine.troubleshooting.tree import Tree

# What to say where a plan has nothing to be weighed against.
NO_QUOTE = (
    "No quote is known. What is none of the suspects only a shop mends, so what to do next hangs on its price. "
    "Ask a shop, or write the most that you would pay to have it mended."
)
HAND_OVER = "hand it over to the shop"
# Ours: pieces of work for a plan that somebody waits for, and for one that is made while the page is read.
AT_ONCE, PATIENT = 2, 60
# Ours: a proof looser than this is none; and one tighter than the last digits of a sum is exact.
LOOSEST, TIGHTEST = 1.0, 1e-6
MOST_KEPT = 64


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
    """Yield a plan at once, then ever better ones; the newest is kept, and a later call goes on from what is settled.

    Args:
        found: What could be wrong.
        steps: Pieces of work at the most, each about a second's on a plain computer; the first is one.

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
    answers = narrow(problem, steps=steps)
    answer = next(answers)
    while True:
        following = next(answers, None)
        ended = following is None and answer.steps < steps
        plan = _plan(problem, answer, settled=ended or _gap(answer) == 0.0)
        _keep(mark, plan)
        yield plan
        if following is None or plan.settled:
            return
        answer = following


def plan_of(found: Suspected, *, budget: int = AT_ONCE) -> Plan | None:
    """Return the best plan that so much work finds; None without a quote, or when the fault is gone.

    Args:
        found: What could be wrong.
        budget: Pieces of work at the most: 1 for rules of thumb at once, 2 for the best where that fits in memory.
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


def _plan(problem: Problem, answer: Answer, *, settled: bool) -> Plan:
    return Plan(
        problem=problem,
        next=next_of(problem, answer.action, expected_cost=answer.upper),
        tree=answer.tree.shown(),
        whole=answer.tree,
        proved_gap=_gap(answer),
        steps=answer.steps,
        settled=settled,
    )


def _gap(answer: Answer) -> float:
    return 0.0 if answer.proved_gap < TIGHTEST else answer.proved_gap


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
