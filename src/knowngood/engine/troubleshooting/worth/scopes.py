"""Worth doing oneself: a few scopes against the shop's quote, with the chance that the quote comes on top."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from knowngood.engine.judgement import Estimate, Row, Shape, combine
from knowngood.engine.judgement.distribution import bisect
from knowngood.engine.judgement.inputs import PER_HALF_WIDTH
from knowngood.engine.troubleshooting.model.amounts import Chance
from knowngood.engine.troubleshooting.worth.envelope import Line, lower_envelope

# The way that is always there: hand it over at once.
QUOTE = "quote"
# Ours: what is said of what it may end up costing; 1 time in 10 less, and 1 time in 10 more.
SPREAD_LEVELS = (0.1, 0.5, 0.9)
NOTHING, NO_TIME = Estimate(0.0, "money"), Estimate(0.0, "min")


@dataclass(frozen=True)
class Tool:
    """A tool bought for the job.

    Args:
        name: As the person calls it.
        price: What it costs. [money]
        later_uses: How many later jobs it is bought for as well; each carries the same share of it.

    Raises:
        ValueError: Below zero.
    """

    name: str
    price: Estimate
    later_uses: float = 0.0

    def __post_init__(self) -> None:
        if not 0.0 <= self.later_uses < math.inf:
            raise ValueError(f"{self.name}: {self.later_uses:g} later uses; write 0 when it is for this job only.")

    @property
    def share(self) -> float:
        """The share of its price that this job carries."""
        return 1.0 / (1.0 + self.later_uses)


@dataclass(frozen=True)
class Scope:
    """How much of the job to do oneself.

    Args:
        key: Short and stable, such as "with strainer".
        bought: What is used up, such as "parts" and "fluids". [money]
        minutes: The person's own time. [min]
        fixes: Chance that it is right afterwards; if not, the quote comes on top.
        tools: Bought for it.

    Raises:
        ValueError: The key that the quote itself has.
    """

    key: str
    bought: Mapping[str, Estimate]
    minutes: Estimate
    fixes: Chance
    tools: tuple[Tool, ...] = ()

    def __post_init__(self) -> None:
        if self.key == QUOTE:
            raise ValueError(f'a scope is called "{QUOTE}", which is the shop\'s own; give it another name.')


@dataclass(frozen=True)
class Way:
    """One way to have it done, and what it costs.

    Args:
        key: Of the scope, or `QUOTE`.
        money: For parts, fluids and this job's share of tools; for the quote itself, what the shop asks. [money]
        paid_now: The same with whole tools: what has to be paid now. [money]
        minutes: Own time. [min]
        fixes: Chance that it is right afterwards without the shop.
        expected: Money and minutes on average, with the quote on top as often as it comes. [money]
        low: 1 time in 10 it ends up costing less. [money]
        middle: As often more as less. [money]
        high: 1 time in 10 it ends up costing more. [money]
        deviation: Standard deviation of what it ends up costing. [money]
        pays: Chance that it ends up cheaper than handing over at once.
    """

    key: str
    money: Estimate
    paid_now: Estimate
    minutes: Estimate
    fixes: float
    expected: Estimate
    low: float
    middle: float
    high: float
    deviation: float
    pays: float


@dataclass(frozen=True)
class Stretch:
    """Where one way costs least on average; `high` may be infinite. [money/h, or money]"""

    key: str
    low: float
    high: float


@dataclass(frozen=True)
class Worth:
    """What is worth doing.

    Args:
        ways: All of them, the cheapest on average first.
        surely: Chance that the first is the cheapest on average, for what is not known of prices, minutes and chances:
            against whichever other comes closest.
        by_rate: From an hour worth nothing upwards, which way is the cheapest. [money/h]
        by_quote: From a quote of nothing upwards, the same. [money]
    """

    ways: tuple[Way, ...]
    surely: float
    by_rate: tuple[Stretch, ...]
    by_quote: tuple[Stretch, ...]

    @property
    def advice(self) -> str:
        """The key of the cheapest way on average."""
        return self.ways[0].key


@dataclass(frozen=True)
class _Shop:
    """The quote, and the person's own time of bringing and fetching."""

    money: Estimate
    minutes: Estimate

    def cost(self, rate_per_minute: float) -> Estimate:
        return combine([(1.0, self.money), (rate_per_minute, self.minutes)], unit="money")


def compare(
    scopes: Sequence[Scope], quote: Estimate, *, rate_per_hour: float, quote_minutes: Estimate = NO_TIME
) -> Worth:
    """Return what each scope costs against the quote, which is the cheapest on average, and where that flips.

    Args:
        scopes: A few; errors with one key, such as the price of a tool that two of them need, are one error.
        quote: What the shop asks to have it right. [money]
        rate_per_hour: What an hour of the person is worth to them. [money/h]
        quote_minutes: Own time of bringing and fetching. [min]

    Raises:
        ValueError: A name twice, an hourly rate below zero, or a quote that is not above zero.

    Source:
        GUM, 5.1.2, sums whose parts share errors.

    Example:
        >>> fluid = Scope("fluid", {"fluids": Estimate(60.0, "money")}, Estimate(90.0, "min"), Chance(0.5))
        >>> found = compare([fluid], Estimate(300.0, "money"), rate_per_hour=20.0)
        >>> found.advice, [(way.key, way.expected.value) for way in found.ways], found.by_rate[0].high
        ('fluid', [('fluid', 240.0), ('quote', 300.0)], 60.0)
    """
    _check(scopes, quote, rate_per_hour)
    per_minute, shop = rate_per_hour / 60.0, _Shop(quote, quote_minutes)
    ways = [*(_own_way(scope, shop, per_minute) for scope in scopes), _shops_way(shop, per_minute)]
    ordered = tuple(sorted(ways, key=lambda way: way.expected.value))
    return Worth(ordered, _surely(ordered), _by_rate(ways, shop), _by_quote(ways, shop))


def _own_way(scope: Scope, shop: _Shop, per_minute: float) -> Way:
    bought: list[tuple[float, Estimate]] = [(1.0, one) for one in (NOTHING, *scope.bought.values())]
    money = combine([*bought, *((tool.share, tool.price) for tool in scope.tools)], unit="money")
    paid_now = combine([*bought, *((1.0, tool.price) for tool in scope.tools)], unit="money")
    own = combine([(1.0, money), (per_minute, scope.minutes)], unit="money")
    on_top = shop.cost(per_minute)
    both, fixes = combine([(1.0, own), (1.0, on_top)]), scope.fixes.value
    average = combine([(1.0, own), (1.0 - fixes, on_top)])
    expected = Estimate(average.value, "money", (*average.rows, *_doubt_of_fixing(scope, on_top)))
    low, middle, high = (_mixed_quantile(level, own, both, fixes) for level in SPREAD_LEVELS)
    variance = fixes * own.standard_uncertainty**2 + (1.0 - fixes) * both.standard_uncertainty**2
    deviation = math.sqrt(variance + fixes * (1.0 - fixes) * on_top.value**2)
    # Where it is not right afterwards, the quote comes on top of what was spent: then it never pays.
    pays = fixes * combine([(1.0, own), (-1.0, on_top)]).below(0.0)
    return Way(scope.key, money, paid_now, scope.minutes, fixes, expected, low, middle, high, deviation, pays)


def _doubt_of_fixing(scope: Scope, on_top: Estimate) -> list[Row]:
    half = 0.5 * (scope.fixes.highest - scope.fixes.lowest)
    if half == 0.0:
        return []
    contribution = -on_top.value * half * PER_HALF_WIDTH[Shape.RECTANGULAR]
    return [Row(f"{scope.key}/fixes", contribution, shape=Shape.RECTANGULAR, name=f"whether {scope.key} mends it")]


def _shops_way(shop: _Shop, per_minute: float) -> Way:
    cost = shop.cost(per_minute)
    low, middle, high = (cost.quantile(level) for level in SPREAD_LEVELS)
    return Way(
        QUOTE, shop.money, shop.money, shop.minutes, 0.0, cost, low, middle, high, cost.standard_uncertainty, 0.0
    )


def _mixed_quantile(level: float, own: Estimate, both: Estimate, fixes: float) -> float:
    """Where the mixture of being right and of paying twice has this probability below it."""
    ends = [one.quantile(level) for one, chance in ((own, fixes), (both, 1.0 - fixes)) if chance > 0.0]
    return bisect(lambda x: fixes * own.below(x) + (1.0 - fixes) * both.below(x) - level, min(ends), max(ends))


def _surely(ordered: Sequence[Way]) -> float:
    first, *others = ordered
    ahead = (combine([(1.0, first.expected), (-1.0, other.expected)]).below(0.0) for other in others)
    return min(ahead, default=1.0)


def _by_rate(ways: Sequence[Way], shop: _Shop) -> tuple[Stretch, ...]:
    lines = [
        Line(way.money.value, way.minutes.value / 60.0)
        if way.key == QUOTE
        else Line(
            way.money.value + (1.0 - way.fixes) * shop.money.value,
            (way.minutes.value + (1.0 - way.fixes) * shop.minutes.value) / 60.0,
        )
        for way in ways
    ]
    return _stretches(ways, lines)


def _by_quote(ways: Sequence[Way], shop: _Shop) -> tuple[Stretch, ...]:
    """The quote's own price moves, and with it what comes on top of a scope that does not mend it."""
    lines = []
    for way in ways:
        on_top = 1.0 if way.key == QUOTE else 1.0 - way.fixes
        lines.append(Line(way.expected.value - on_top * shop.money.value, on_top))
    return _stretches(ways, lines)


def _stretches(ways: Sequence[Way], lines: Sequence[Line]) -> tuple[Stretch, ...]:
    return tuple(Stretch(ways[one.index].key, one.low, one.high) for one in lower_envelope(lines, 0.0, math.inf))


def _check(scopes: Sequence[Scope], quote: Estimate, rate_per_hour: float) -> None:
    names = [scope.key for scope in scopes]
    for name in names:
        if names.count(name) > 1:
            raise ValueError(f'two scopes are called "{name}"; give one of them another name.')
    if not 0.0 <= rate_per_hour < math.inf:
        raise ValueError(f"an hour worth {rate_per_hour:g}; it is zero or more. Write 0 when time is free.")
    if not quote.value > 0.0:
        raise ValueError(f"a quote of {quote.value:g}; write what the shop asks, or what you would expect it to.")
