"""What would settle it: the chance that doing something about some rows makes the verdict clear."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from statistics import NormalDist

from knowngood.engine.judgement.band import Band, clear_from
from knowngood.engine.judgement.distribution import bisect, normal_cdf, t_quantile
from knowngood.engine.judgement.estimate import Estimate, Row
from knowngood.engine.judgement.inputs import PER_HALF_WIDTH, Shape
from knowngood.engine.judgement.outlook import drawn_chances
from knowngood.engine.judgement.remedy import Remedy, Settle
from knowngood.engine.judgement.through import chances_through, follows, is_bent

# Ends the key of the part of an eased row that goes.
GONE = "/gone"


def clear_chances(estimate: Estimate, band: Band, after: Mapping[str, float]) -> tuple[float, float]:
    """Return the chances of a clear "within" and a clear "out" once some rows have become smaller.

    With a the moved rows now, b the same rows after, c the rows that stay: the next value scatters by hypot(a, b)
    about today's, as a normal would, and is known with hypot(b, c). How far that reaches at the rule's probability is
    the root sum of squares of what each row reaches: those from few readings by Student's t, all others as normals,
    and what a remedy leaves as one, too. Drawn beside it, over mixtures of shapes and few readings, this is off by .04
    on average and .21 at most; all rows taken as normals, by .19 and .84.

    Less noise left need not be the better chance. At one limit it is wherever no less moves than stays, a >= c.
    Where less moves than stays, the answer may be clear by luck only, and noise is what luck is made of: right at the
    limit the chance is twice that of a normal beyond 1.645 hypot(b, c) / hypot(a, b), which grows with b. That is no
    reason to take the worse instrument: see `ranked`.

    Args:
        estimate: What is known now.
        band: What is allowed.
        after: Row key to its standard contribution afterwards. [unit]

    Returns:
        Chance of within, chance of out.

    Source:
        JCGM_106, 7, applied to the value that the next measurement would give; the formula is ours.

    Example:
        >>> from knowngood.engine.judgement.estimate import Row
        >>> now = Estimate(12.9, "ohm", (Row("leads", 0.28), Row("rest", math.sqrt(0.3**2 - 0.28**2))))
        >>> [round(chance, 4) for chance in clear_chances(now, Band(None, 13.3, "ohm"), {"leads": 0.05})]
        [0.7641, 0.0182]
    """
    moved, left, _ = _parts(estimate, after)
    scatter, clear = math.hypot(moved, left), clear_from(band.rule)
    then = _reach(estimate, after, clear) / NormalDist().inv_cdf(clear)
    low, high = _zone(band, then, clear)
    out_low, out_high = _zone(band, then, 1.0 - clear)

    def below(x: float) -> float:
        if math.isinf(x):
            return float(x > 0)
        return normal_cdf((x - estimate.value) / scatter) if scatter > 0.0 else float(x > estimate.value)

    within = max(0.0, below(high) - below(low)) if low <= high else 0.0
    return within, 1.0 - (max(0.0, below(out_high) - below(out_low)) if out_low <= out_high else 0.0)


def _parts(estimate: Estimate, after: Mapping[str, float]) -> tuple[float, float, float]:
    """Standard uncertainty of the moved rows now, of the same afterwards, and of the rows that stay."""
    moved = math.hypot(*(row.contribution for row in estimate.rows if row.key in after))
    stays = math.hypot(*(row.contribution for row in estimate.rows if row.key not in after))
    return moved, math.hypot(*after.values()), stays


def _parted(estimate: Estimate, remedy: Remedy) -> tuple[Estimate, Remedy]:
    """Rows that are eased made two, of which one stays as it is and the other goes; their squares add up to today's."""
    if not remedy.eased:
        return estimate, remedy
    rows = []
    for row in estimate.rows:
        share = remedy.eased.get(row.key, 1.0)
        rows.append(replace(row, contribution=share * row.contribution))
        if share < 1.0:
            gone = math.sqrt(1.0 - share**2) * row.contribution
            rows.append(replace(row, key=row.key + GONE, contribution=gone))
    after = {**remedy.after, **{key + GONE: 0.0 for key, share in remedy.eased.items() if share < 1.0}}
    return replace(estimate, rows=tuple(rows), law=None), replace(remedy, after=after, eased={})


def _staying(estimate: Estimate, remedy: Remedy) -> float:
    """Standard uncertainty of the rows that stay, as much as they count afterwards. [unit]"""
    rows = (row for row in estimate.rows if row.key not in remedy.after)
    return math.hypot(*(remedy.scaled.get(row.key, 1.0) * row.contribution for row in rows))


def chances(estimate: Estimate, band: Band, remedy: Remedy) -> tuple[float, float]:
    """Return the chances of a clear "within" and a clear "out" after a remedy: in closed form where all is normal.

    Where a row is bounded, or known from few readings only, a normal law leans high: what is assumed is drawn instead.
    """
    normal = all(row.shape is Shape.NORMAL and math.isinf(row.degrees_of_freedom) for row in estimate.rows)
    if normal and remedy.moves and not (remedy.scaled or remedy.eased or remedy.repeats or remedy.grid):
        return clear_chances(estimate, band, remedy.after)
    law = estimate.law if not (remedy.scaled or remedy.grid) else None
    wanted = remedy.looked_up or remedy.shown or is_bent(estimate)
    if law and wanted and follows(law, estimate, {**remedy.after, **remedy.eased}):
        return chances_through(law, estimate, band, remedy)
    parted, one = _parted(estimate, remedy)
    return drawn_chances(parted, band, one.after, scaled=one.scaled, repeats=one.repeats, grid=one.grid)


def _reach(
    estimate: Estimate, after: Mapping[str, float], clear: float, scaled: Mapping[str, float] | None = None
) -> float:
    """How far from its value the next estimate reaches with this probability, to one side. [unit]"""
    normal = NormalDist().inv_cdf(clear)
    factors = scaled or {}
    rows = [row for row in estimate.rows if row.key not in after]
    stays = [factors.get(row.key, 1.0) * _factor(row, clear) * row.contribution for row in rows]
    return math.hypot(*stays, *(normal * left for left in after.values()))


def _factor(row: Row, clear: float) -> float:
    """How many standard uncertainties a row reaches; bounded ones as in a sum of several, which is near normal."""
    bounded = row.shape in PER_HALF_WIDTH
    return t_quantile(clear, math.inf if bounded else max(1.0, row.degrees_of_freedom))


def _zone(band: Band, u: float, wanted: float) -> tuple[float, float]:
    """Values whose probability of being inside is at least `wanted`, when judged with u; upside down when none is."""
    reach = u * NormalDist().inv_cdf(wanted)
    if band.lower is None or band.upper is None or u == 0.0:
        low = -math.inf if band.lower is None else band.lower + reach
        return low, math.inf if band.upper is None else band.upper - reach
    lower, upper = band.lower, band.upper
    middle = 0.5 * (lower + upper)

    def short(distance: float) -> float:
        value = middle + distance
        return wanted - (normal_cdf((upper - value) / u) - normal_cdf((lower - value) / u))

    if short(0.0) > 0.0:
        return math.inf, -math.inf
    half = bisect(short, 0.0, 0.5 * (upper - lower) + 10.0 * u)
    return middle - half, middle + half


def ranked(estimate: Estimate, band: Band, remedies: Sequence[Remedy]) -> tuple[Settle, ...]:
    """Return what would settle it, the best chance first, then the quickest and cheapest, then what leaves least doubt.

    A remedy counts as having at least the chance of each other one that leaves more doubt, so that the noise of a worse
    instrument puts it before a better one only if it is quicker or cheaper. A remedy that leaves the rows it moves no
    smaller is left out: it would be work for nothing.
    """
    found = []
    for way in remedies:
        parted, one = _parted(estimate, way)
        left, stays = math.hypot(*one.after.values()), _staying(parted, one)
        if math.hypot(left, stays) < estimate.standard_uncertainty:
            chance = sum(chances(estimate, band, way))
            settle = Settle(one.key, one.says, one.minutes, one.money, chance, math.hypot(left, stays))
            found.append((_reach(parted, one.after, clear_from(band.rule), one.scaled), settle))

    def rank(item: tuple[float, Settle]) -> tuple[float, float, float, float]:
        reach, one = item
        chance = max(other.probability for more, other in found if more >= reach)
        # What nobody knows the price of comes after what is known to cost something.
        return -round(chance, 2), one.minutes, math.inf if one.money is None else one.money, reach

    return tuple(one for _, one in sorted(found, key=rank))


def largest_uncertainty(value: float, band: Band) -> float:
    """Largest standard uncertainty with which this value would be clear of its nearest limit. [unit]"""
    ends = [end for end in (band.lower, band.upper) if end is not None]
    return min(abs(value - end) for end in ends) / NormalDist().inv_cdf(clear_from(band.rule))
