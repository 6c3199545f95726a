"""A level check in words: how far off it may be, one degree of tilt beside the window, and to what to level."""

import math

from knowngood import units
from knowngood.acts.readings.values import decimals_for, span_words
from knowngood.engine.fluids.level import Check, LevelError, LevelTo, tilt_against_window
from knowngood.engine.fluids.pan import Pan, Where
from knowngood.engine.judgement import Band, Estimate, Verdict, percent

# Ours, when a manual's window was not looked up: the middle of what is common, and how far off the fluid may be then.
UNKNOWN_C, UNKNOWN_HALF_K = 40.0, 15.0
# Two comparisons closer to one than this are told as alike. Ours.
ALIKE = 1.15


def ends(window: units.Span) -> tuple[float, float]:
    """Both ends; of a window with one, the other as far off as is common."""
    if window.lower is None:
        assert window.upper is not None  # a span has one end at least
        return window.upper - 2.0 * UNKNOWN_HALF_K, window.upper
    return window.lower, window.lower + 2.0 * UNKNOWN_HALF_K if window.upper is None else window.upper


def sentence(verdict: Verdict, inside: float, judged: Estimate, allowed: Band, where: Where) -> str:
    """How far off what is inside may be, and whether that is near enough; it may lie as far above as below."""
    low, high = judged.interval(0.95)
    half = 0.5 * (high - low)
    most = max(abs(low), abs(high))
    off = f"{most:.{decimals_for(most)}f} {judged.unit}"
    begins = f"When the {where.value} says it is right, what is inside may be off by {off}"
    enough = f"± {allowed.upper:g} {allowed.unit}"
    match verdict:
        case Verdict.WITHIN:
            return f"{begins}: good enough, within {enough} ({percent(inside)})."
        case Verdict.OUT:
            about = units.signed(f"{judged.value:+.{decimals_for(half)}f} {judged.unit}")
            return f"{begins} about {about}: not good enough, outside {enough}."
        case Verdict.CANT_TELL:
            return f"{begins}: {percent(inside)} sure to be within {enough}, which is near enough."


def outside(check: Check, error: LevelError, window: units.Span | None) -> str:
    """What warmth outside the window does to a level that looks right; empty inside it, or where none was read."""
    if window is None or any(row.assumed for row in check.fluid_c.budget):
        return ""
    low, high = ends(window)
    celsius = check.fluid_c.value
    if low <= celsius <= high:
        return ""
    far, side = (low - celsius, "below") if celsius < low else (celsius - high, "above")
    litre = error.temperature_l.value
    much = "too much" if litre > 0.0 else "too little"
    return (
        f"At {units.show(celsius, window.unit)} it is {far:.0f} K {side} its window of {span_words(window)}: about "
        f"{abs(litre):.{decimals_for(0.1 * abs(litre))}f} L {much} stays in, by how much it grows with warmth."
    )


def compared(check: Check, window: units.Span | None, where: Pan, to: LevelTo | None) -> str:
    """One degree of tilt beside the window, and what follows from it."""
    if window is None:
        return ""
    low, high = ends(window)
    times = tilt_against_window(check.volume_l, check.liquid, Band(low, high, "°C"), where).times.value
    words = span_words(window)
    follows = _follows(check, to)
    if times > ALIKE:
        return f"One degree of tilt outweighs the whole {words} window {times:.1f} times{follows}"
    if times > 1.0 / ALIKE:
        return f"One degree of tilt does as much as the whole {words} window{follows}"
    return f"The whole {words} window does {1.0 / times:.1f} times as much as one degree of tilt: wait for its middle."


def _follows(check: Check, to: LevelTo | None) -> str:
    """To what it must be level, or that it stands level enough as it was read."""
    if to is None:
        return "."
    tilts = (check.along, check.across)
    read = not any(row.assumed for one in tilts for row in one.budget)
    if read and math.hypot(*(one.standard_uncertainty for one in tilts)) <= to.deg:
        return f": within {to_words(to)} is level enough, and as read it is."
    return f": level it to within {to_words(to)}."


def to_words(to: LevelTo) -> str:
    """A tilt in degrees, and as the lift of one end of a metre; rounded down.

    Example:
        >>> to_words(LevelTo(0.347, 6.06))
        '0.3° (6 mm over 1 m)'
    """
    places = 2 if to.deg < 0.1 else 1
    deg = math.floor(to.deg * 10**places) / 10**places
    return f"{deg:g}° ({math.floor(to.mm_per_m):g} mm over 1 m)"


def unread(check: Check) -> str:
    """How level is looked at, while nobody has."""
    if not any(row.assumed for one in (check.along, check.across) for row in one.budget):
        return ""
    return (
        "Nobody has read the tilt: an inclinometer, a spirit level or water in a clear hose shows it, along and across."
    )
