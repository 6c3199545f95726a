"""What an instrument may be off where it is used: cold, at one reading, and after a check against a known value."""

import math
from dataclasses import replace

from knowngood.engine.measurement.instruments import Meter

# Data sheets of meters hold at 23 ± 5 °C, and outside allow a tenth of their own line more for each °C: common
# practice, no source. A bench meter's manual that was read allows 0.15 instead, from 18 °C down and from 28 °C up.
HOLDS_AT_C, HOLDS_WITHIN_K, MORE_PER_K = 23.0, 5.0, 0.1
# Ours: over how many steps of the display an error may change as far as the class lets it.
REACH_STEPS = 100.0


def at_temperature(meter: Meter, ambient_c: float) -> Meter:
    """Return an electric meter as its data sheet allows it to be off in a colder or hotter place.

    Args:
        meter: As its data sheet describes it, for 23 ± 5 °C.
        ambient_c: Where the meter lies. [°C]

    Raises:
        ValueError: A temperature that no garage has.

    Example:
        >>> blue = Meter("blue", 1.0, 3, 0.1)
        >>> at_temperature(blue, 8.0).percent, at_temperature(blue, 19.0).percent
        (2.0, 1.0)
    """
    if not -60.0 <= ambient_c <= 80.0:
        raise ValueError(
            f"a place at {ambient_c:g} °C is none where a meter works; -60 to 80 °C is allowed. "
            "Write the temperature of the air around it."
        )
    outside_k = max(0.0, abs(ambient_c - HOLDS_AT_C) - HOLDS_WITHIN_K)
    return _wider(meter, 1.0 + MORE_PER_K * outside_k) if outside_k else meter


def resolved(meter: Meter, at: float) -> Meter:
    """Return the instrument with the greater of its two parts alone, where its data sheet says "whichever is greater".

    Args:
        meter: Any; one without that wording comes back as it is.
        at: The reading. [unit of the reading]

    Example:
        >>> gun = Meter("gun", 2.0, 0, 0.1, 2.0, greater=True)
        >>> resolved(gun, 40.0).absolute, resolved(gun, 40.0).percent, resolved(gun, 150.0).percent
        (2.0, 0.0, 2.0)
    """
    if not meter.greater:
        return meter
    if meter.percent / 100.0 * abs(at) > meter.offset:
        return replace(meter, offset=0.0, greater=False)
    return replace(meter, percent=0.0, greater=False)


def allowed_error(meter: Meter, at: float) -> float:
    """Half-width of all that the data sheet allows at a reading. [unit of the reading]

    Example:
        >>> allowed_error(Meter("blue", 0.8, 3, 0.1), 100.0)
        1.1
    """
    one = resolved(meter, at)
    return one.percent / 100.0 * abs(at) + one.absolute


def outside_class(meter: Meter, *, known: float, known_half_width: float, shown: float) -> bool:
    """Does a check show more than the data sheet allows, even when the known value is off as far as it may be?

    Example:
        >>> outside_class(Meter("blue", 0.8, 3, 0.1), known=100.0, known_half_width=0.1, shown=101.3)
        True
    """
    return abs(shown - meter.zero - known) > allowed_error(meter, shown) + known_half_width


def zeroed(meter: Meter, shown: float) -> Meter:
    """Return an instrument whose zero error is known, such as a micrometer read with its faces together.

    The class figure of such an instrument holds from a zero that is set right, so it stays as it is; reading the zero
    adds half a step.

    Args:
        meter: As its data sheet describes it.
        shown: What it shows at zero. [unit of the reading]

    Example:
        >>> zeroed(Meter("micrometer", 0.0, 0, 0.01, 0.004), 0.02).zero
        0.02
    """
    return replace(meter, zero=shown, offset=meter.offset + 0.5 * meter.step)


def checked(meter: Meter, *, known: float, known_half_width: float, shown: float, at: float) -> Meter:
    """Return an instrument as a check against a known value lets it be trusted at a reading.

    At the point of the check its error is known to the doubt of the known value and the display's digits. Away from
    there it may have changed: by its percent of the way, and by all of its absolute part over as far as from zero to
    the point (ours). The data sheet's line stays a bound, unless the check itself has broken it: then the line counts
    as wide as the error that was found. The digits of later readings stay as they are.

    Args:
        meter: As its data sheet describes it.
        known: The known value. [unit of the reading]
        known_half_width: How far that may be off. [unit of the reading]
        shown: What the instrument showed. [unit of the reading]
        at: The reading that it is to be trusted for. [unit of the reading]

    Returns:
        The meter; what is known of its error stands in `gain_error` or, when that is no small share, in `zero`.

    Raises:
        ValueError: A doubt of the known value that is below zero, or what is no number.

    Example:
        >>> near = checked(Meter("m", 1.0, 1, 0.1), known=100.0, known_half_width=0.1, shown=100.6, at=100.6)
        >>> round(100 * near.gain_error, 3), round(near.percent, 3)
        (0.596, 0.199)
    """
    if not (0.0 <= known_half_width < math.inf and all(math.isfinite(one) for one in (known, shown, at))):
        raise ValueError(
            f"a known value of {known:g} ± {known_half_width:g}, shown as {shown:g}: each must be a plain number, and "
            "what comes after ± zero or more. Write what it is known to be, such as 100 ± 0.1 ohm."
        )
    middle, half = _error(resolved(meter, at), known, known_half_width, shown, at)
    if meter.percent > 0.0 and abs(middle) + half <= 0.5 * abs(at):
        return replace(
            meter, percent=100.0 * half / abs(at), offset=0.0, greater=False, gain_error=meter.gain_error + middle / at
        )
    return replace(meter, percent=0.0, offset=half, greater=False, zero=meter.zero + middle)


def _error(meter: Meter, known: float, known_half_width: float, shown: float, at: float) -> tuple[float, float]:
    """Middle and half-width of the error at a reading, without the digits of that reading."""
    found = shown - meter.zero - known
    doubt = known_half_width + max(meter.digits, 0.5) * meter.step
    line = _at_least(meter, found, doubt, shown)
    away, reach = abs(at - shown), max(abs(shown), REACH_STEPS * meter.step)
    changed = line.percent / 100.0 * away + (2.0 * line.offset * away / reach if away else 0.0)
    bound = line.percent / 100.0 * abs(at) + line.offset
    if line is not meter:  # a broken line says no longer that its error shrinks with the reading
        bound = max(bound, abs(found) + doubt)
    low, high = max(found - doubt - changed, -bound), min(found + doubt + changed, bound)
    return 0.5 * (low + high), 0.5 * (high - low)


def _at_least(meter: Meter, found: float, doubt: float, shown: float) -> Meter:
    """The line, or one as wide as an error that was found beyond it may be."""
    line = meter.percent / 100.0 * abs(shown) + meter.offset
    if abs(found) - doubt <= line:
        return meter
    worst = abs(found) + doubt
    return _wider(meter, worst / line) if line else replace(meter, offset=worst)


def _wider(meter: Meter, times: float) -> Meter:
    return replace(meter, percent=times * meter.percent, digits=times * meter.digits, offset=times * meter.offset)
