"""Over which stretches of one number an action is the best to begin with: exact, with no grid to fall through."""

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass

# Two costs are the same when they agree to this share; a lattice adds some thousand numbers.
SAME = 1e-9


@dataclass(frozen=True)
class Best:
    """The best policy at one place, and what that same policy costs at both ends of the scan.

    Args:
        action: Key of what it does first.
        at_low: Its cost where the scan begins. [money]
        at_high: Its cost where the scan ends. [money]
    """

    action: str
    at_low: float
    at_high: float


@dataclass(frozen=True)
class Span:
    """A stretch over which one action is the best to begin with.

    Args:
        action: Its key.
        low: Where the stretch begins.
        high: Where it ends.
        proved: Nothing else is better anywhere in it; False where the scan was cut short.
    """

    action: str
    low: float
    high: float
    proved: bool = True


@dataclass(frozen=True)
class _Place:
    """Where was solved, on a scale from 0 to 1, and what came out."""

    at: float
    best: Best

    def cost(self, at: float) -> float:
        return self.best.at_low + (self.best.at_high - self.best.at_low) * at


def scan(solve: Callable[[float], Best], low: float, high: float, *, most: int) -> tuple[Span, ...]:
    """Return which action is the best to begin with, from one end to the other, however often it changes.

    The number may be any that a policy's cost is straight in: a chance, a price, a rate. The lowest of straight lines
    is concave, so a policy that is best at two places is best between them. Where the policies of two places cross
    lower than what is best there, that is a third one, and both halves are looked at in the same way.

    Args:
        solve: The best policy at one place.
        low: Where to begin.
        high: Where to end.
        most: How often to solve at the most, at least the two ends; what is left then is not `proved`.

    Raises:
        ValueError: The ends the wrong way round, or no room for them.

    Source:
        EISNER_SEVERANCE

    Example:
        >>> lines = {"test": (1.0, 5.0), "shop": (4.0, 4.0)}
        >>> def solve(x):
        ...     action = min(lines, key=lambda one: lines[one][0] + x * (lines[one][1] - lines[one][0]))
        ...     return Best(action, *lines[action])
        >>> scan(solve, 0.0, 1.0, most=5)
        (Span(action='test', low=0.0, high=0.75, proved=True), Span(action='shop', low=0.75, high=1.0, proved=True))
    """
    if not (math.isfinite(low) and low < high < math.inf):
        raise ValueError(f"from {low:g} to {high:g}; the lower end comes first, and both are numbers.")
    if most < 2:
        raise ValueError(f"{most} times to solve; both ends take two.")
    place = _Solver(solve, low, high, most)
    found: list[Span] = []
    waiting = [(place(0.0), place(1.0))]
    while waiting:
        begin, end = waiting.pop()
        between = _settled(begin, end)
        if between is None:
            if place.left:
                middle = place(_crossing(begin, end))
                waiting += [(middle, end), (begin, middle)]
                continue
            between = [Span(begin.best.action, begin.at, _crossing(begin, end), proved=False),
                       Span(end.best.action, _crossing(begin, end), end.at, proved=False)]  # fmt: skip
        found += between
    width = high - low
    return _joined(Span(one.action, low + width * one.low, low + width * one.high, one.proved) for one in found)


class _Solver:
    """Solves at places from 0 to 1, and counts."""

    def __init__(self, solve: Callable[[float], Best], low: float, high: float, most: int) -> None:
        self._solve, self._low, self._high, self.left = solve, low, high, most

    def __call__(self, at: float) -> _Place:
        self.left -= 1
        return _Place(at, self._solve(self._high if at == 1.0 else self._low + (self._high - self._low) * at))


def _same(one: float, other: float) -> bool:
    return math.isclose(one, other, rel_tol=SAME, abs_tol=SAME)


def _crossing(begin: _Place, end: _Place) -> float:
    """Where the policies of two places cost the same; each is the cheaper at its own."""
    ahead = end.cost(begin.at) - begin.cost(begin.at)
    behind = begin.cost(end.at) - end.cost(end.at)
    return begin.at + (end.at - begin.at) * (ahead / (ahead + behind) if ahead + behind > 0.0 else 0.5)


def _settled(begin: _Place, end: _Place) -> list[Span] | None:
    """Return what is best between two places, when one of their policies is as good at the other's."""
    if end.at <= begin.at:
        return []
    for keeps, other in ((begin, end), (end, begin)):
        if _same(keeps.cost(other.at), other.cost(other.at)):
            return [Span(keeps.best.action, begin.at, end.at)]
    return None


def _joined(spans: Iterable[Span]) -> tuple[Span, ...]:
    """Join neighbours with the same action; a proved stretch stays apart from one that is not."""
    joined: list[Span] = []
    for span in spans:
        if joined and (joined[-1].action, joined[-1].proved) == (span.action, span.proved):
            joined[-1] = Span(span.action, joined[-1].low, span.high, span.proved)
        elif span.high > span.low:
            joined.append(span)
    return tuple(joined)
