"""What to do next so that it costs least on average: exact, with what every other action would cost instead."""

from dataclasses import dataclass
from functools import cached_property

from knowngood.engine.troubleshooting.model.problem import Problem
from knowngood.engine.troubleshooting.policy.lattice import Lattice
from knowngood.engine.troubleshooting.policy.moves import Action, State, mass, start

# Ours: actions closer than this are equal, and the one listed first is taken: handing over, then repairs, then tests.
EQUAL = 1e-9
EQUAL_SINGLE = 1e-5


@dataclass(frozen=True)
class Choice:
    """An action, and what it leads to when everything after it is done as well as can be.

    Args:
        action: What is done.
        cost: Expected from there on, its own included. [money]
    """

    action: Action
    cost: float


class Policy:
    """The best policy.

    Args:
        problem: The problem, with its quote.

    Raises:
        ValueError: There is no quote, or the problem is too large; see `lattice.fits`.

    Example:
        >>> from knowngood.engine.troubleshooting.model.amounts import Chance, Price
        >>> from knowngood.engine.troubleshooting.model.parts import Quote, Repair
        >>> from knowngood.engine.troubleshooting.model.problem import suspects
        >>> relay = Repair("relay", "replace the relay", {"relay": Chance(1.0)}, Price(20.0))
        >>> no_start = Problem(suspects({"relay": 1}, other=0.25), (), (relay,), quote=Quote(Price(100.0)))
        >>> found = Policy(no_start)
        >>> found.next().keys, found.cost
        (('relay',), 45.0)
    """

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self._lattice = Lattice(problem)
        self._chosen: dict[State, Action] = {}

    @cached_property
    def cost(self) -> float:
        """Expected cost from the start. [money]"""
        return self.cost_at(start(self.problem))

    def cost_at(self, state: State) -> float:
        """Return the expected cost from a state on. [money]"""
        return self._lattice.at(state) / float(mass(self.problem, state).sum())

    def choices(self, state: State | None = None) -> list[Choice]:
        """Return everything that can be done at a state, the cheapest in the end first; at the start when left out."""
        return sorted(self._choices(start(self.problem) if state is None else state), key=lambda choice: choice.cost)

    def next(self, state: State | None = None) -> Action:
        """Return what to do at a state; at the start when left out."""
        here = start(self.problem) if state is None else state
        if here not in self._chosen:
            found = self._choices(here)
            least = min(choice.cost for choice in found)
            margin = (EQUAL if self._lattice.exact else EQUAL_SINGLE) * max(1.0, abs(least))
            self._chosen[here] = next(choice.action for choice in found if choice.cost <= least + margin)
        return self._chosen[here]

    def _choices(self, state: State) -> list[Choice]:
        whole = float(mass(self.problem, state).sum())
        return [Choice(action, least / whole) for action, least in self._lattice.options(state)]
