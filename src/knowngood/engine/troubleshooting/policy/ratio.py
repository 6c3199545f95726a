"""Orders of repairs by chance over cost, with covers counted or not: simple rules, and what they are worth."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Try:
    """A repair as the rule sees it.

    Args:
        key: Its key.
        chance: That it ends the fault, from what is known now.
        cost: Its own with the check after it, without the way in. [money]
        behind: Closed covers to take off first, the outermost first.
    """

    key: str
    chance: float
    cost: float
    behind: tuple[str, ...] = ()


@dataclass(frozen=True)
class _Block:
    """Repairs that follow one another, with the way in to them."""

    keys: tuple[str, ...]
    chance: float
    cost: float

    def __add__(self, other: "_Block") -> "_Block":
        return _Block(self.keys + other.keys, self.chance + other.chance, self.cost + other.cost)

    @property
    def ratio(self) -> float:
        return self.chance / self.cost if self.cost > 0.0 else float("inf")


def by_ratio(tries: Iterable[Try]) -> tuple[str, ...]:
    """Return keys by chance over cost, blind to covers.

    Best when at most one thing is wrong, nothing fixes the same and nothing lies behind a cover; else a rule of thumb.

    Args:
        tries: Repairs in any order.

    Source:
        HECKERMAN_1995, the p/C order.

    Example:
        >>> by_ratio([Try("dear", 0.6, 60.0), Try("cheap", 0.3, 10.0), Try("deep", 0.2, 1.0, ("pan",))])
        ('deep', 'cheap', 'dear')
    """
    return tuple(block.keys[0] for block in _sorted([_Block((one.key,), one.chance, one.cost) for one in tries]))


def bottom_up(tries: Sequence[Try], way_in: dict[str, float]) -> tuple[str, ...]:
    """Return keys by chance over cost, where what lies behind one cover shares its opening.

    From the innermost covers outwards: what lies behind a cover is put in order; the opening and as many of the first
    as raise their common ratio become one block, which takes its place among what lies around the cover. Best when at
    most one thing is wrong, nothing fixes the same, and no cover has to be closed for a check.

    Args:
        tries: Repairs in any order.
        way_in: What each cover costs. [money]

    Source:
        OTTOSEN_JENSEN

    Example:
        >>> inside = [Try("x", 0.2, 8.0, ("K",)), Try("y", 0.15, 6.0, ("K",)), Try("z", 0.1, 5.0, ("K",))]
        >>> bottom_up([Try("a", 0.3, 40.0), Try("b", 0.25, 30.0), *inside], {"K": 45.0})
        ('b', 'a', 'x', 'y', 'z')
    """
    return tuple(key for block in _released(tries, way_in, depth=0) for key in block.keys)


def _released(tries: Sequence[Try], way_in: dict[str, float], depth: int) -> list[_Block]:
    """Blocks of what lies behind the first `depth` covers of its way in, best first."""
    blocks = [_Block((one.key,), one.chance, one.cost) for one in tries if len(one.behind) == depth]
    covers = dict.fromkeys(one.behind[depth] for one in tries if len(one.behind) > depth)
    for cover in covers:
        inside = [one for one in tries if len(one.behind) > depth and one.behind[depth] == cover]
        blocks += _opened(_released(inside, way_in, depth + 1), way_in[cover])
    return _sorted(blocks)


def _opened(inside: list[_Block], opening: float) -> list[_Block]:
    """Join the opening with as many of the first blocks as make the best ratio."""
    joined = [_Block((), 0.0, opening)]
    for block in inside:
        joined.append(joined[-1] + block)
    best = max(range(1, len(joined)), key=lambda count: joined[count].ratio)
    return [joined[best], *inside[best:]]


def _sorted(blocks: list[_Block]) -> list[_Block]:
    return sorted(blocks, key=lambda block: -block.ratio)
