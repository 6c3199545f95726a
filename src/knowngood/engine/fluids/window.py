"""When a fluid enters and leaves its check window, and when to read its temperature next.

Oil is not verified on real logs: none was found. Coolant was, of two vehicles.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from itertools import pairwise

import numpy as np

from knowngood.engine.fluids.heating import Array, Paths, Timed, cooling_ends, last_third, paths, warming_ends
from knowngood.engine.judgement.estimate import LEVELS, Estimate, Row

__all__ = ["Curve", "Instants", "State", "Timed", "Window", "check_window"]

# Ours: soonest and latest to read again, and when one reading is all there is. [s]
SOONEST_S, LATEST_S, FIRST_S = 5.0, 600.0, 30.0
# Ours: how far the air about a fluid that cools may be from what is said. [K]
AIR_SPREAD_K = 10.0
# Ours: a slope counts when it is this many times its own doubt.
CLEAR = 2.0
# Ours: what shows no rise and is farther off than this has stalled, whatever may still come. [s]
STALLED_S = 1800.0
CURVE_POINTS = 40


class State(StrEnum):
    """What the fluid does, as far as its window is concerned."""

    HEATING = "heating"
    LOAD_CHANGED = "load changed"
    STALLED = "stalled"
    COOLING = "cooling"
    IN = "in"
    PAST = "past"
    TOO_FEW = "too few"


@dataclass(frozen=True)
class Instants:
    """A moment, early, middling and late, counted from the last reading.

    Args:
        p10: One time in ten it comes before this; None when it comes so seldom. [s]
        p50: As often before as after; None when it rather never comes. [s]
        p90: Nine times in ten it comes before this; None when it may well never come. [s]
        chance: That it comes at all within the time anyone waits.
        when_it_comes: At the 199 probabilities of an estimate, given that it comes. [s]
    """

    p10: float | None = None
    p50: float | None = None
    p90: float | None = None
    chance: float = 0.0
    when_it_comes: tuple[float, ...] = field(default=(), repr=False)

    def estimate(self, key: str) -> Estimate | None:
        """Return the moment as an estimate, given that it comes; None when it never does.

        Args:
            key: Names the error, such as "window/opens".
        """
        if not self.when_it_comes:
            return None
        spread = 0.5 * float(np.diff(np.interp([0.16, 0.84], LEVELS, self.when_it_comes))[0])
        middle = float(np.interp(0.5, LEVELS, self.when_it_comes))
        return Estimate(middle, "s", (Row(key, spread, name="how it warms"),), self.when_it_comes)


NEVER = Instants()


@dataclass(frozen=True)
class Curve:
    """Temperature to come, ready to draw; seconds from the last reading. [s, °C]"""

    seconds: tuple[float, ...] = ()
    p10_c: tuple[float, ...] = ()
    p50_c: tuple[float, ...] = ()
    p90_c: tuple[float, ...] = ()


@dataclass(frozen=True)
class Window:
    """What is known of the window after the last reading.

    Args:
        state: What the fluid does.
        opens: When it enters; never when it is in already, past, or falls below.
        closes: When it leaves.
        read_again_s: How long after the last reading to read again; None when nothing is left to wait for. [s]
        falling: It goes down; a window above which it is opens at the upper edge.
        curve: To draw.
        end_c: Where it ends, 1 and 9 times in 10 below; None when unknown. [°C]
        constant_s: Time constant, likewise. [s]
        used: Readings that this rests on.
        little: Too little to lean on: fewer than three readings, or a moment that may never come.
    """

    state: State
    opens: Instants
    closes: Instants
    read_again_s: float | None
    falling: bool
    curve: Curve
    end_c: tuple[float, float] | None
    constant_s: tuple[float, float] | None
    used: int
    little: bool


def check_window(
    readings: Sequence[Timed], lower_c: float, upper_c: float, *, shared_u_k: float = 0.0, air_c: float = 20.0
) -> Window:
    """Return when a fluid enters and leaves its window, from readings of its temperature.

    For the work, act on the early moment of both edges: be ready before it may open, be done before it may close.

    Args:
        readings: In order of time, each with its own doubt.
        lower_c: Edge of the window; on it counts as in. [°C]
        upper_c: The other edge; on it counts as past. [°C]
        shared_u_k: Standard uncertainty of an error that all readings share, such as an infrared thermometer's
            emissivity. [K]
        air_c: Around the fluid; only matters when it cools. [°C]

    Returns:
        State, moments and curve. The law is Newton's with a varying pace; oil is not verified on real logs.

    Raises:
        ValueError: No readings, not in order of time, no numbers, or no window.

    Example:
        >>> warm = [Timed(t, 100.0 - 80.0 * math.exp(-t / 600.0), 0.1) for t in (0.0, 30.0, 60.0, 90.0)]
        >>> found = check_window(warm, 35.0, 45.0)
        >>> found.state.value, found.opens.p10 < 34.58 < found.opens.p90
        ('heating', True)
    """
    _refuse(readings, lower_c, upper_c, shared_u_k)
    last = readings[-1].celsius
    state = State.IN if lower_c <= last < upper_c else State.PAST if last >= upper_c else State.HEATING
    if len(readings) == 1:
        again = None if state is State.PAST else FIRST_S
        return _silent(State.TOO_FEW if state is State.HEATING else state, again, used=1)
    falling = _falls(readings)
    if state is State.PAST and not falling:
        return _silent(state, None, used=len(readings))
    if state is State.HEATING and falling:
        return _silent(State.COOLING, None, used=len(readings), falling=True)
    near_c, far_c = (upper_c, lower_c) if falling else (lower_c, upper_c)
    ends = cooling_ends(air_c, AIR_SPREAD_K) if falling else warming_ends(upper_c)
    ways, changed, used = paths(readings, ends, far_c, shared_u_k=shared_u_k)
    opens = NEVER if state is State.IN else _instants(ways.seconds_to(near_c))
    closes = _instants(ways.seconds_to(far_c))
    if state is not State.IN:
        state = State.COOLING if falling else _warming(opens, changed, _stands(readings))
    return _window(state, opens, closes, ways, used=used, falling=falling)


def _refuse(readings: Sequence[Timed], lower_c: float, upper_c: float, shared_u_k: float) -> None:
    if not lower_c < upper_c:
        raise ValueError(f"a window from {lower_c:g} to {upper_c:g} °C; write the lower temperature first.")
    if not readings:
        raise ValueError("no readings; a window needs one temperature at least, two to say when.")
    for number, one in enumerate(readings, start=1):
        if not (math.isfinite(one.seconds) and math.isfinite(one.celsius)):
            raise ValueError(f"reading {number} is {one.celsius:g} °C at {one.seconds:g} s; both must be numbers.")
        if not (one.u_k > 0.0 and math.isfinite(one.u_k)):
            raise ValueError(f"reading {number} is known to {one.u_k:g} K; no thermometer is: give it above zero.")
    if not (shared_u_k >= 0.0 and math.isfinite(shared_u_k)):
        raise ValueError(f"an error of {shared_u_k:g} K that all readings share; it is a number from 0 up.")
    for number, (earlier, later) in enumerate(pairwise(readings), start=2):
        if later.seconds <= earlier.seconds:
            raise ValueError(
                f"reading {number} is at {later.seconds:g} s and the one before it at {earlier.seconds:g} s; "
                "write them in order of time, one temperature each, and start anew when the clock did."
            )


def _falls(readings: Sequence[Timed]) -> bool:
    """Whether it clearly goes down now."""
    slope, doubt, fallen = _slope(readings)
    return slope < -CLEAR * doubt and fallen


def _stands(readings: Sequence[Timed]) -> bool:
    """Whether it does not clearly rise now; two readings are too few to say so."""
    slope, doubt, _ = _slope(readings)
    return len(readings) > 2 and slope < CLEAR * doubt


def _slope(readings: Sequence[Timed]) -> tuple[float, float, bool]:
    """Slope over the last third of the time, three readings at least where there are; its doubt; below the highest."""
    last = last_third(readings, least=3)
    rows = np.array([(one.seconds, one.celsius, one.u_k) for one in last])
    away = rows[:, 0] - rows[:, 0].mean()
    slope = float(away @ rows[:, 1] / (away @ away))
    # Rounding repeats itself: the doubt of a difference does not shrink with the number of readings between.
    doubt = math.sqrt(2.0) * float(rows[:, 2].mean()) / float(np.ptp(rows[:, 0]))
    return slope, doubt, bool(rows[-1, 1] < np.max(rows[:, 1]))


def _warming(opens: Instants, changed: bool, stands: bool) -> State:
    if opens.p50 is None or (stands and opens.p50 > STALLED_S):
        return State.STALLED
    return State.LOAD_CHANGED if changed else State.HEATING


def _instants(seconds: Array) -> Instants:
    comes = np.sort(seconds[np.isfinite(seconds)])
    if comes.size == 0:
        return NEVER
    p10, p50, p90 = (
        float(one) if math.isfinite(one) else None
        for one in np.quantile(seconds, [0.1, 0.5, 0.9], method="higher")
    )  # fmt: skip
    levels = tuple(float(one) for one in np.quantile(comes, LEVELS))
    return Instants(p10, p50, p90, comes.size / seconds.size, levels)


def _silent(state: State, again: float | None, *, used: int, falling: bool = False) -> Window:
    """No moment can be said, or none is left."""
    little = used < 3 and state is not State.PAST
    return Window(state, NEVER, NEVER, again, falling, Curve(), None, None, used, little)


def _window(state: State, opens: Instants, closes: Instants, ways: Paths, *, used: int, falling: bool) -> Window:
    next_edge = closes if state is State.IN else opens
    again = LATEST_S if next_edge.p10 is None else min(max(0.5 * next_edge.p10, SOONEST_S), LATEST_S)
    little = used < 3 or next_edge.p90 is None
    return Window(
        state, opens, closes, again, falling, _curve(ways, opens, closes),
        _range(ways.end_c), _range(ways.constant_s), used, little,
    )  # fmt: skip


def _range(values: Array) -> tuple[float, float]:
    low, high = np.quantile(values, [0.1, 0.9])
    return float(low), float(high)


def _curve(ways: Paths, opens: Instants, closes: Instants) -> Curve:
    """As far as the window matters: a little beyond the latest moment that can be said."""
    moments = (closes.p90, closes.p50, opens.p90, opens.p50, closes.p10, opens.p10)
    reach = next((one for one in moments if one), 2.0 * LATEST_S)
    seconds = np.linspace(0.0, 1.1 * reach, CURVE_POINTS)
    some = [ways.celsius_at(one)[::8] for one in seconds]  # draws lie evenly: an eighth draws as well
    low, middle, high = np.quantile(some, [0.1, 0.5, 0.9], axis=1)
    return Curve(*(tuple(float(value) for value in row) for row in (seconds, low, middle, high)))
