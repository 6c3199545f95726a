"""What an instrument may be off where it is used: cold, at one reading, and held against a known value."""

from dataclasses import replace

from knowngood.engine.measurement.meters.instruments import Meter

# Data sheets of meters hold at 23 ± 5 °C, and outside allow a tenth of their own line more for each °C: common
# practice, no source. A bench meter's manual that was read allows 0.15 instead, from 18 °C down and from 28 °C up.
HOLDS_AT_C, HOLDS_WITHIN_K, MORE_PER_K = 23.0, 5.0, 0.1
# Ours: a zero is set by hand, so it may well be off by more than the class; from so many times on something is wrong.
FAR_TIMES = 3.0


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
    return widened(meter, 1.0 + MORE_PER_K * outside_k) if outside_k else meter


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
    return abs(shown - known) > allowed_error(meter, shown) + known_half_width


def far_from_zero(meter: Meter, shown: float) -> bool:
    """Is what an instrument shows at zero far more than its class would ever explain?

    Example:
        >>> caliper = Meter("caliper", 0, 0, 0.01, 0.03)
        >>> far_from_zero(caliper, 0.3), far_from_zero(caliper, 0.03)
        (True, False)
    """
    return abs(shown) > FAR_TIMES * max(allowed_error(meter, 0.0), meter.step)


def widened(meter: Meter, times: float) -> Meter:
    """Return an instrument that may be off so many times as much."""
    return replace(meter, percent=times * meter.percent, digits=times * meter.digits, offset=times * meter.offset)
