"""Renewal: where readings over time jump back from their limit, because a new part was fitted."""

from collections.abc import Sequence

from knowngood.engine.judgement import combine
from knowngood.engine.measurement.sizes.wear import Dated

# Ours: a part is taken as renewed from this chance on that it reads further from its limit than before, and when that
# is at least this share of its new distance to the limit; less may be another place that was read.
RENEWED, RENEWED_SHARE = 0.99, 0.25


def newest_part(readings: Sequence[Dated], *, limit: float, lowest: bool = True) -> int:
    """Return the place of the first reading of the part that is fitted now; 0 when it was never renewed.

    Args:
        readings: In order of time.
        limit: Where it is worn out. [unit of the readings]
        lowest: The limit is the lowest allowed; else the highest.

    Source:
        GUM, 5.2.2, correlated errors: what both readings share drops out.

    Example:
        >>> from knowngood.engine.judgement import Estimate, Row
        >>> pad = [Dated(day, Estimate(mm, "mm", (Row(f"{day}", 0.1),))) for day, mm in ((0, 8), (90, 3), (99, 11))]
        >>> newest_part(pad, limit=2.0)
        2
    """
    side = 1.0 if lowest else -1.0
    for place in range(len(readings) - 1, 0, -1):
        before, after = readings[place - 1], readings[place]
        jump = combine([(side, after.estimate), (-side, before.estimate)])
        enough = jump.value >= RENEWED_SHARE * side * (after.estimate.value - limit) > 0.0
        if after.at > before.at and enough and 1.0 - jump.linear_below(0.0) >= RENEWED:
            return place
    return 0
