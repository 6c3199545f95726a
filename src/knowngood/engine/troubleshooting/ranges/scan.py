"""Over which stretches of one number an action is the best to begin with: exact, with no grid to fall through."""

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

# Ours: two costs are the same when they agree to this share; a lattice adds some thousand numbers.
SAME = 1e-9


@dataclass(frozen=True)
class Best:
    """The best policy at one place, and what that same policy costs at both ends of the scan.

    Args:
        action: Key of what it does first.
        at_low: Its cost where the scan begins. [money]
        at_high: Its cost where the scan ends. [money]
        rivals: What it costs at this place to begin with each other action and go on as well as can be, all of them;
            None when that is not known. [money]
    """

    action: str
    at_low: float
    at_high: float
    rivals: Mapping[str, float] | None = None


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


def scan(
    solve: Callable[[float], Best], low: float, high: float, *, most: int, around: float | None = None
) -> tuple[Span, ...]:
    """Return which action is the best to begin with, from one end to the other, however often it changes.

    The number may be any that a policy's cost is straight in: a chance, a price, a rate. The lowest of straight lines
    is concave, so a policy that is best at two places is best between them. Where the policies of two places cross
    lower than what is best there, that is a third one, and both halves are looked at in the same way. Two policies that
    begin alike need no look between them when every rival, which is concave too, is dearer even on the straight line
    between its costs at both places.

    Args:
        solve: The best policy at one place.
        low: Where to begin.
        high: Where to end.
        most: How often to solve at the most, at least the two ends; what is left then is not `proved`.
        around: Where it matters most: solved too, and what is near it is looked at first.

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
    inner = [] if around is None or not low < around < high else [(around - low) / (high - low)]
    if most < 2 + len(inner):
        raise ValueError(f"{most} times to solve; both ends and what lies between take {2 + len(inner)}.")
    place = _Solver(solve, low, high, most)
    places = [place(at) for at in (0.0, *inner, 1.0)]
    found, waiting = list[Span](), [_Gap(begin, end, inner) for begin, end in pairwise(places)]
    while waiting:
        waiting.sort(key=lambda gap: gap.order)
        gap = waiting.pop(0)
        settled = gap.settled()
        if settled is None and place.left:
            middle = place(gap.crossing)
            waiting += [_Gap(gap.begin, middle, inner), _Gap(middle, gap.end, inner)]
        else:
            found += gap.guessed() if settled is None else settled
    width = high - low
    found.sort(key=lambda span: span.low)
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


@dataclass(frozen=True)
class _Gap:
    """What lies between two places that were solved."""

    begin: _Place
    end: _Place
    around: Sequence[float]

    @property
    def order(self) -> tuple[bool, float, float]:
        """Where the action changes comes first, then what is near to where it matters."""
        away = min((max(self.begin.at - one, one - self.end.at) for one in self.around), default=0.0)
        return self.begin.best.action == self.end.best.action, away, self.begin.at

    @cached_property
    def crossing(self) -> float:
        """Where the policies of both places cost the same; each is the cheaper at its own."""
        ahead = self.end.cost(self.begin.at) - self.begin.cost(self.begin.at)
        behind = self.begin.cost(self.end.at) - self.end.cost(self.end.at)
        share = ahead / (ahead + behind) if ahead + behind > 0.0 else 0.5
        return self.begin.at + (self.end.at - self.begin.at) * share

    def settled(self) -> list[Span] | None:
        """Return what is best between, when one of the policies is as good at the other's place, or no rival is."""
        begin, end = self.begin, self.end
        if end.at <= begin.at:
            return []
        for keeps, other in ((begin, end), (end, begin)):
            if _same(keeps.cost(other.at), other.cost(other.at)):
                return [Span(keeps.best.action, begin.at, end.at)]
        if begin.best.action == end.best.action and self._no_rival():
            return [Span(begin.best.action, begin.at, end.at)]
        return None

    def guessed(self) -> list[Span]:
        """Return what is likely between, not proved."""
        return [Span(self.begin.best.action, self.begin.at, self.crossing, proved=False),
                Span(self.end.best.action, self.crossing, self.end.at, proved=False)]  # fmt: skip

    def _no_rival(self) -> bool:
        """Tell whether all rivals are dearer even where the two policies are dearest, at their crossing."""
        one, other = self.begin.best.rivals, self.end.best.rivals
        if one is None or other is None or one.keys() != other.keys():
            return False
        share = (self.crossing - self.begin.at) / (self.end.at - self.begin.at)
        peak = self.begin.cost(self.crossing)
        return all(one[key] + (other[key] - one[key]) * share >= peak * (1.0 - SAME) for key in one)


def _joined(spans: Iterable[Span]) -> tuple[Span, ...]:
    """Join neighbours with the same action; a proved stretch stays apart from one that is not."""
    joined: list[Span] = []
    for span in spans:
        if joined and (joined[-1].action, joined[-1].proved) == (span.action, span.proved):
            joined[-1] = Span(span.action, joined[-1].low, span.high, span.proved)
        elif span.high > span.low:
            joined.append(span)
    return tuple(joined)
