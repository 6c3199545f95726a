"""Ranges of lengths round a part, highest minus lowest: thickness variation and runout.

Highest and lowest are picked before the formula, as in `lengths`. What one gauge is off by the same at both cancels;
noise does not, and always adds to a range.
"""

import math
from collections.abc import Sequence
from functools import cache
from statistics import NormalDist, fmean
from typing import Any

from knowngood.engine.judgement import Estimate, Input, propagate
from knowngood.engine.measurement.meters.instruments import Meter, Repeat, gain_input
from knowngood.engine.measurement.sizes.lengths import (
    DISC,
    feel_input,
    limit_input,
    rectangle,
    refuse_places,
    step_input,
)

# All of these are ours, as one who holds a gauge by hand meets them.
# Scatter of one reading with a micrometer at one place, as standard deviation. [mm]
FEEL_MM = 0.003
# The same with a gauge that nobody described, which may be a caliper. [mm]
CALIPER_FEEL_MM = 0.01
# Places that show how the thickness goes round a disc.
FEWEST_PLACES = 4
# A lever or plunger dial indicator that nobody described, over a short travel, and its scatter. [mm]
DIAL_HALF_MM, DIAL_FEEL_MM = 0.02, 0.003
# A wheel bearing in order, along its axis. [mm]
BEARING_PLAY_MM = 0.02


@cache
def expected_range(count: int) -> float:
    """Return how far apart the highest and lowest of some equal values with normal noise lie on average.

    Args:
        count: How many values.

    Returns:
        In standard deviations of the noise; control charts call it d2. [1]

    Source:
        TIPPETT_1925, d2.

    Example:
        >>> [round(expected_range(count), 3) for count in (2, 5, 8)]
        [1.128, 2.326, 2.847]
    """
    below = [NormalDist().cdf(0.02 * k) for k in range(-400, 401)]
    return 0.02 * sum(1.0 - p**count - (1.0 - p) ** count for p in below)


def between_places(count: int) -> float:
    """Return by what factor a thickness that swings once round may vary more than evenly spaced places show.

    The worst case: with an even count, highest and lowest both lie half a spacing from the nearest place; with an odd
    one, when one of them is hit the other lies in the middle of a spacing. Derived by us.

    Args:
        count: Evenly spaced places, at least 3.

    Example:
        >>> [round(between_places(count), 3) for count in (4, 5, 8)]
        [1.414, 1.106, 1.082]
    """
    away = math.cos(math.pi / count)
    return 2.0 / (1.0 + away) if count % 2 else 1.0 / away


def thickness_variation(
    places_mm: Sequence[float],
    *,
    meter: Meter,
    again_mm: Sequence[float] | None = None,
    reading_id: str = "reading",
    seed: int = 0,
) -> Estimate:
    """Return how much a thickness varies round a part: highest minus lowest place, by one gauge.

    Highest and lowest are picked first. The gauge's zero and its limit of error at nearly one length are one and the
    same error in both, and cancel; its step and the feel of the hand do not. Noise always adds to highest minus
    lowest: at equal places by `expected_range` on average, at clearly different ones by nearly nothing, so that it
    enters as one-sided, never more than was read. Places between those read enter by `between_places`.

    Args:
        places_mm: One reading at each of at least 4 places, evenly spaced once round. [mm]
        meter: What all of them were read with.
        again_mm: Several readings at one and the same place, which show the feel of the hand beside what is usual;
            None leaves that alone. [mm]
        reading_id: Makes the keys of this reading's own errors.
        seed: Of the Monte Carlo draws.

    Raises:
        ValueError: Too few places, a reading that is not above zero, or only one reading at the same place.

    Source:
        GUM, 5.1.2; 4.2.4, what is usual pooled with what showed.
    """
    refuse_places(places_mm, DISC.name)
    _refuse_few(places_mm, again_mm)
    key, spread = f"reading:{reading_id}", max(places_mm) - min(places_mm)
    unknown = again_mm is None
    # One place read again shows whether it may be a caliper.
    usual = Repeat(size=CALIPER_FEEL_MM if meter.assumed and unknown else FEEL_MM)
    feel, dof = usual.pooled(again_mm or [fmean(places_mm)], step=0.0)
    noise = noise_mm(len(places_mm), feel, meter)
    more = 0.5 * (between_places(len(places_mm)) - 1.0)
    inputs = [
        feel_input(f"{key}/highest", max(places_mm), feel, dof, assumed=unknown, group=f"{key}/again"),
        feel_input(f"{key}/lowest", min(places_mm), feel, dof, assumed=unknown, group=f"{key}/again"),
        step_input(f"{key}/highest", meter),
        step_input(f"{key}/lowest", meter),
        gain_input(meter),
        _excess(key, min(noise, spread), assumed=unknown),
        rectangle(f"{key}/between", more, more, "what lies between the places read", "places"),
    ]

    def varies(high: Any, low: Any, step: Any, other_step: Any, gain: Any, excess: Any, between: Any) -> Any:
        return ((high - low - excess) * (1.0 + gain) + step - other_step) * (1.0 + between)

    return propagate(varies, inputs, unit="mm", seed=seed)


def runout(
    read_mm: Sequence[float],
    *,
    meter: Meter,
    total: bool = False,
    bearing_play_mm: float | None = None,
    reading_id: str = "reading",
    seed: int = 0,
) -> Estimate:
    """Return the runout of a turning part: highest minus lowest of a dial indicator, less what the bearing may add.

    Highest and lowest are picked first. Play lets the part wander and is shown as runout: from nothing up to all of it,
    never more than was read. The indicator's limit of error is one of differences, so that it does not cancel.

    Args:
        read_mm: Needle round one turn; or one total, or several totals. [mm]
        meter: The dial indicator; one that nobody described counts as ± 0.02 mm.
        total: Each reading is a total already. One reading alone always is.
        bearing_play_mm: Along the axis; None assumes up to 0.02. [mm]
        reading_id: Makes the keys of this reading's own errors.
        seed: Of the Monte Carlo draws.

    Raises:
        ValueError: No reading, a total or a play below zero.

    Source:
        GUM, 5.1.2.
    """
    totals = total or len(read_mm) == 1
    _refuse_runout(read_mm, totals, bearing_play_mm)
    key = f"reading:{reading_id}"
    indicated = fmean(read_mm) if totals else max(read_mm) - min(read_mm)
    feel = math.sqrt(2.0) * DIAL_FEEL_MM / math.sqrt(len(read_mm) if totals else 1)
    play = min(BEARING_PLAY_MM if bearing_play_mm is None else bearing_play_mm, indicated)
    noise = 0.0 if totals else noise_mm(len(read_mm), DIAL_FEEL_MM, meter)
    inputs = [
        feel_input(key, indicated, feel, assumed=True),
        step_input(f"{key}/highest", meter),
        step_input(f"{key}/lowest", meter),
        limit_input(meter, max(DIAL_HALF_MM, meter.step) if meter.unknown else meter.absolute),
        gain_input(meter),
        _excess(key, min(noise, indicated - play), assumed=True),
        rectangle(
            f"{key}/play", 0.5 * play, 0.5 * play, "play of the bearing", "play", assumed=bearing_play_mm is None
        ),
    ]

    def runs(shown: Any, step: Any, other_step: Any, limit: Any, gain: Any, excess: Any, play: Any) -> Any:
        return (shown - excess) * (1.0 + gain) + step - other_step + limit - play

    return propagate(runs, inputs, unit="mm", seed=seed)


def noise_mm(readings: int, feel_mm: float, meter: Meter) -> float:
    """Return how far feel and step alone draw highest and lowest apart, on average at equal places. [mm]"""
    return expected_range(readings) * math.hypot(feel_mm, meter.step / math.sqrt(12.0))


def _excess(key: str, most_mm: float, *, assumed: bool) -> Input:
    """Noise widens a range, from nothing up to its average at equal values."""
    half = 0.5 * most_mm
    return rectangle(f"{key}/excess", half, half, "what noise adds to highest minus lowest", "again", assumed=assumed)


def _refuse_few(places_mm: Sequence[float], again_mm: Sequence[float] | None) -> None:
    count = len(places_mm)
    if count == 1:
        raise ValueError(
            "one reading says nothing about how the thickness varies. Measure at 4 to 8 places, evenly spaced once "
            "round, and write all of them."
        )
    if count < FEWEST_PLACES:
        raise ValueError(
            f"{count} places do not show how the thickness goes round; at least {FEWEST_PLACES} are needed. "
            "Measure at 4 to 8 places, evenly spaced once round, and write all of them."
        )
    if again_mm is not None and len(again_mm) < 2:
        raise ValueError(
            "the same place was read once; that shows no feel of the hand. Read one place 3 to 5 times, lifting the "
            "gauge each time, or leave it empty."
        )


def _refuse_runout(read_mm: Sequence[float], totals: bool, bearing_play_mm: float | None) -> None:
    if not read_mm:
        raise ValueError(
            "there is no reading of the dial. Give the total, or the needle at several places of one turn."
        )
    if totals and min(read_mm) < 0.0:
        raise ValueError(
            f"a total of {min(read_mm):g} mm is below zero. Write highest minus lowest, or both as the needle "
            'showed them, such as "-0.02 0.03 mm".'
        )
    if bearing_play_mm is not None and bearing_play_mm < 0.0:
        raise ValueError(
            f"a bearing play of {bearing_play_mm:g} mm is below zero. Write how far the needle moves when the part is "
            "pushed and pulled, or 0."
        )
