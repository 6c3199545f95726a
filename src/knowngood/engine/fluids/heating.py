"""How a fluid goes on warming: Newton's law towards an end that is not known, at a pace that may vary.

The end temperature has a range before any reading; readings narrow it. What the law leaves out (pumps, a thermostat,
load, oil that stirs badly) is a pace of its own: the clock of the law runs fast or slow by a share that varies along
the way. Readings show how large that share is; the same share then widens what is still to come.

Tuned on coolant of one vehicle at idle and of another while driving. Oil is not verified on real logs: none was found.
"""

import functools
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from statistics import NormalDist
from typing import Any

import numpy as np

Array = np.ndarray[Any, np.dtype[np.float64]]

# All of the following are ours, chosen on development logs and kept away from their best fit.
# How much the pace varies over the span of the readings, and how likely each is before any reading.
SHARES = np.array([0.03, 0.06, 0.12, 0.25, 0.5, 0.8])
SHARES_BEFORE = np.array([0.03, 0.08, 0.25, 0.39, 0.2, 0.05])
LARGE_SHARE = 0.5
ROUGH_BEFORE = np.array([1e-9, 1e-9, 0.1, 0.4, 0.5, 1e-9])
# The share counts this much for what is to come. Late counts for less: a slow spell passes before the long wait that it
# would make is over, a fast one does not.
AHEAD_EARLY, AHEAD_LATE = 1.7, 1.1
# Ours: what lags behind another, as a pan behind the engine, begins slowly. Where more is ahead than this many times
# what was seen, it may come sooner by this power of the excess, at one standard deviation.
BEGUN, SOONER = 5.0, 1.0
# How long a change of pace lasts: 0.5 forgets at once, 1 never.
PERSISTENCE = 0.75
# Weight of the pace of the last readings in what is to come, and over how much of their span it is taken.
CARRIED, CARRIED_OVER = 2.0, 0.3
# End of the warming, as multiples of the way from a cold place to the far edge of the window: a window is one that the
# fluid passes when all is well; some ends, broadly, are below it.
COLD_C = 20.0
END_MULTIPLES = np.geomspace(0.3, 8.0, 48)
END_USUAL, END_SPREAD = 2.7, 0.45
END_BROAD, END_BROAD_SPREAD, BROAD_WEIGHT = 1.0, 0.6, 0.015
# Time constants: a small cooler to a big gearbox in winter. [s]
CONSTANTS_S = (20.0, 20_000.0)
PLACES = 40
DRAWS = 4000
# Beyond this nobody waits: an edge that is farther counts as never reached. [s]
HORIZON_S = 10_800.0
# The most readings that enter; more are averaged over equal stretches of time.
MOST_READINGS = 20
LEAST_BACK_K = 4.0


@dataclass(frozen=True)
class Timed:
    """One reading of a temperature.

    Args:
        seconds: When, from any zero. [s]
        celsius: What was read. [°C]
        u_k: Its own standard uncertainty: a display in steps of 1 °C has 0.29. [K]
    """

    seconds: float
    celsius: float
    u_k: float = 0.29


@dataclass(frozen=True)
class Ends:
    """Temperatures at which the warming (or cooling) may end, and how likely each is before any reading."""

    celsius: Array
    log_weight: Array


@dataclass(frozen=True)
class Paths:
    """Equally likely ways to go on from the last reading.

    Args:
        now_c: Temperature at the last reading. [°C]
        end_c: Where it ends. [°C]
        constant_s: Time in which the distance to the end falls to 37 %. [s]
        pace: What the law's time is multiplied with.
        large_share: Probability that the pace varies much.
    """

    now_c: Array
    end_c: Array
    constant_s: Array
    pace: Array
    large_share: float

    def seconds_to(self, edge_c: float) -> Array:
        """Return when each path is at an edge: 0 when it is beyond already, infinite when never. [s]"""
        way, whole = edge_c - self.now_c, self.end_c - self.now_c
        share = way / whole
        seconds = self.constant_s * self.pace * -np.log1p(-np.clip(share, 0.0, 1.0 - 1e-12))
        return np.where((share >= 1.0) | (seconds > HORIZON_S), np.inf, seconds)

    def celsius_at(self, seconds: float) -> Array:
        """Return where each path is so long after the last reading. [°C]"""
        left = np.exp(-seconds / (self.pace * self.constant_s))
        return self.end_c + (self.now_c - self.end_c) * left


def warming_ends(upper_c: float) -> Ends:
    """Return where a fluid that should pass a window may end, from the window's upper edge. [°C]"""
    logs = np.log(END_MULTIPLES)
    usual = (1.0 - BROAD_WEIGHT) / END_SPREAD * np.exp(-0.5 * ((logs - math.log(END_USUAL)) / END_SPREAD) ** 2)
    apart = (logs - math.log(END_BROAD)) / END_BROAD_SPREAD
    broad = BROAD_WEIGHT / END_BROAD_SPREAD * np.exp(-0.5 * apart**2)
    return Ends(COLD_C + max(upper_c - COLD_C, 20.0) * END_MULTIPLES, np.log(usual + broad))


def cooling_ends(air_c: float, spread_k: float) -> Ends:
    """Return where a fluid that cools may end: the air about it, as well as that is known. [°C]"""
    apart = np.linspace(-2.5, 2.5, 25)
    return Ends(air_c + spread_k * apart, -0.5 * apart**2)


def paths(readings: Sequence[Timed], ends: Ends, far_c: float, *, shared_u_k: float = 0.0) -> tuple[Paths, bool, int]:
    """Return how the fluid may go on, whether its load changed, and how many readings that rests on.

    When the readings do not follow one curve, only those since the change are used, and they count for less.

    Args:
        readings: At least two, in order of time.
        ends: Where it may end; below the last reading for a fluid that cools.
        far_c: The edge that matters last; readings farther behind than this is ahead are left out. [°C]
        shared_u_k: Standard uncertainty of an error that all readings share. [K]

    Source:
        None: the law is Newton's, the pace is ours.
    """
    recent = _thinned(_recent(readings, far_c))
    zero = readings[-1].seconds
    found = _fitted(recent, zero, ends, SHARES_BEFORE, shared_u_k)
    last = last_third(recent, least=2)
    if len(recent) < 3 or (found.large_share <= 0.5 and not _stands(recent, last)):
        return _hardly_begun(found, recent, far_c), False, len(recent)
    return _hardly_begun(_fitted(last, zero, ends, ROUGH_BEFORE, shared_u_k), last, far_c), True, len(last)


def _hardly_begun(found: Paths, readings: Sequence[Timed], far_c: float) -> Paths:
    """Let the early ones come sooner where little of the way was seen: how fast it gets is then not known yet."""
    seen = max(float(np.ptp([one.celsius for one in readings])), readings[-1].u_k)
    excess = max(abs(far_c - readings[-1].celsius) / (BEGUN * seen), 1.0)
    return replace(found, pace=found.pace * excess ** (SOONER * np.minimum(_normal()[:, 1], 0.0)))


def last_third(readings: Sequence[Timed], *, least: int) -> list[Timed]:
    """Return the readings of the last third of the time, no fewer than told: what the fluid does now."""
    since = readings[-1].seconds - (readings[-1].seconds - readings[0].seconds) / 3.0 - 1e-9
    last = [one for one in readings if one.seconds >= since]
    return last if len(last) >= least else list(readings[-least:])


def _stands(readings: Sequence[Timed], last: Sequence[Timed]) -> bool:
    """Whether it stands still at last, where going on as before would have shown clearly.

    Newton's curve fits that too, with an end just there; a fluid short of its window rarely has one.
    """
    before = [one for one in readings if one.seconds <= last[0].seconds]
    if len(before) < 2:
        return False
    rate = (before[-1].celsius - before[0].celsius) / (before[-1].seconds - before[0].seconds)
    expected = rate * (last[-1].seconds - last[0].seconds)
    doubt = math.sqrt(2.0) * last[-1].u_k
    shown = [one.celsius for one in last]
    return abs(expected) > 5.0 * doubt and max(shown) - min(shown) < doubt


def _recent(readings: Sequence[Timed], far_c: float) -> list[Timed]:
    """No farther back in temperature than the far edge is ahead; four readings at least."""
    last = readings[-1].celsius
    back = max(abs(far_c - last), LEAST_BACK_K)
    first = len(readings) - 1
    while first > 0 and (abs(readings[first - 1].celsius - last) <= back or first > len(readings) - 4):
        first -= 1
    return list(readings[first:])


def _thinned(readings: list[Timed]) -> list[Timed]:
    """Averages over equal stretches of time; rounding repeats itself, so their doubt does not shrink."""
    if len(readings) <= MOST_READINGS:
        return readings
    times = np.array([one.seconds for one in readings])
    stretch = np.minimum(((times - times[0]) / np.ptp(times) * MOST_READINGS).astype(int), MOST_READINGS - 1)
    averaged = []
    for one in np.unique(stretch):
        some = [reading for reading, of in zip(readings, stretch, strict=True) if of == one]
        columns = np.array([(r.seconds, r.celsius, r.u_k**2) for r in some]).mean(axis=0)
        averaged.append(Timed(float(columns[0]), float(columns[1]), math.sqrt(float(columns[2]))))
    return averaged


@dataclass(frozen=True)
class _Cells:
    """Log weight of each share, constant and end; temperature now given them, and pace of the last readings."""

    log_weight: Array
    now_k: Array
    now_variance: Array
    carried: Array


def _fitted(readings: list[Timed], zero: float, ends: Ends, before: Array, shared_u_k: float) -> Paths:
    """Weigh a grid of shares, constants and ends by the readings, twice: the second grid is where the weight is."""
    rows = np.array([(zero - one.seconds, one.celsius, one.u_k) for one in readings])
    ago, offset, u = rows[:, 0], rows[-1, 1], rows[:, 2]
    # Cooling is warming upside down.
    sign = 1.0 if np.average(ends.celsius, weights=np.exp(ends.log_weight)) > offset else -1.0
    above, ends_k = sign * (rows[:, 1] - offset), sign * (ends.celsius - offset)
    # Much shorter than the readings reach back, it would be over; and its powers would drown the readings.
    low, high = max(CONSTANTS_S[0], np.max(ago) / 8.0), max(CONSTANTS_S[1], np.max(ago))
    for _ in range(2):
        constants = np.geomspace(low, high, PLACES)
        cells = _weighed(ago, above, u, ends_k, constants)
        logs = cells.log_weight + ends.log_weight + np.log(before)[:, None, None]
        logs = np.where(ends_k > cells.now_k + 0.5 * np.sqrt(cells.now_variance)[:, :, None], logs, -np.inf)
        if not np.isfinite(np.max(logs)):
            break
        weight = np.exp(logs - np.max(logs))
        there = np.flatnonzero(weight.sum(axis=(0, 2)) > 1e-5 * np.max(weight.sum(axis=(0, 2))))
        low, high = constants[max(there[0] - 1, 0)], constants[min(there[-1] + 1, PLACES - 1)]
    return _drawn(cells, weight, constants, ends_k, sign, offset, shared_u_k)


def _weighed(ago: Array, above: Array, u: Array, ends_k: Array, constants: Array) -> _Cells:
    """What the readings say of each cell: linear in the end and in the temperature now, so both follow exactly."""
    span = float(np.max(ago))
    rate = _rate(ago, above, u, span)
    own = _together(ago[:, None], ago[None, :], np.abs(ago[:, None] - ago[None, :]), span)
    ahead_s = CARRIED_OVER * span
    ahead = _together(ago, np.full_like(ago, ahead_s), ago + ahead_s, span)
    left = np.exp(ago[:, None] / constants)
    shape = (SHARES.size, constants.size, ends_k.size)
    log_weight, now_k, carried = np.empty(shape), np.empty(shape), np.empty(shape)
    variance = np.empty(shape[:2])
    for at, share in enumerate(SHARES):
        root = np.linalg.cholesky(np.diag(u**2) + (rate * share) ** 2 * own)
        columns = np.column_stack([np.ones_like(ago), above, rate * share**2 * ahead, left])
        white = np.linalg.solve(root, columns)
        y, c, now = white[:, 1], white[:, 2], white[:, 3:]
        end = white[:, :1] - now
        weight_now, mixed = np.sum(now**2, axis=0), np.sum(end * now, axis=0)
        now_k[at] = ((y @ now)[:, None] - mixed[:, None] * ends_k) / weight_now[:, None]
        squares = y @ y - 2.0 * (y @ end)[:, None] * ends_k + np.sum(end**2, axis=0)[:, None] * ends_k**2
        squares = squares - weight_now[:, None] * now_k[at] ** 2
        log_weight[at] = -0.5 * squares - 0.5 * np.log(weight_now)[:, None] - np.log(np.diag(root)).sum()
        carried[at] = (c @ y - (c @ end)[:, None] * ends_k - (c @ now)[:, None] * now_k[at]) / ahead_s
        variance[at] = 1.0 / weight_now
    return _Cells(log_weight, now_k, variance, carried)


def _rate(ago: Array, above: Array, u: Array, span: float) -> float:
    """Mean warming over the readings, no less than they could hide. [K/s]"""
    weight = u**-2.0
    middle = np.average(ago, weights=weight)
    away = ago - middle
    slope = -float((weight * away) @ above) / float((weight * away) @ away)
    return max(slope, 0.5 * float(u.mean()) / span)


def _together(one: Array, other: Array, apart: Array, span: float) -> Array:
    """Covariance of how far the law's clock is off at two moments, for a share of 1: none at the last reading. [s²]

    Source:
        None: fractional Brownian motion, taken because a change of pace lasts a while whatever the scale.
    """
    power = 2.0 * PERSISTENCE
    return np.asarray(0.5 * (one**power + other**power - apart**power) * span ** (2.0 - power))


@functools.cache
def _normal() -> Array:
    """Three columns of normal draws that fill their space evenly, the same each time."""
    root = 1.2207440846057596  # of x^4 = x + 1, for three dimensions
    inverse = NormalDist().inv_cdf
    places = [[(0.5 + k * root**-power) % 1.0 for power in (1, 2, 3)] for k in range(1, DRAWS + 1)]
    return np.array([[inverse(min(max(one, 1e-9), 1.0 - 1e-9)) for one in row] for row in places])


def _drawn(
    cells: _Cells, weight: Array, constants: Array, ends_k: Array, sign: float, offset: float, shared_u_k: float
) -> Paths:
    """Equally likely paths out of weighted cells."""
    total = np.cumsum(weight.ravel())
    wanted = (np.arange(DRAWS) + 0.5) / DRAWS * total[-1]
    chosen = np.unravel_index(np.searchsorted(total, wanted), weight.shape)
    share, constant, _ = chosen
    normal = _normal()
    end_k = ends_k[chosen[2]]
    now_k = cells.now_k[chosen] + np.sqrt(cells.now_variance[share, constant]) * normal[:, 0]
    now_k = np.minimum(now_k, end_k - 0.05)
    spell = np.where(normal[:, 1] < 0.0, AHEAD_EARLY, AHEAD_LATE) * SHARES[share] * normal[:, 1]
    pace = np.exp(spell) / np.clip(1.0 + CARRIED * cells.carried[chosen], 0.3, 3.0)
    shared = offset + shared_u_k * normal[:, 2]
    large = float(weight[SHARES >= LARGE_SHARE].sum() / total[-1])
    return Paths(shared + sign * now_k, shared + sign * end_k, constants[constant], pace, large)
