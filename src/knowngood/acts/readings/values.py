"""A value with its doubt, and what is allowed, in words and in the unit that was written."""

from collections.abc import Mapping
from typing import Any

from knowngood import units
from knowngood.engine.judgement import Band, Estimate

NO_NUMBER = "too uncertain to give a number"
# Half of a normal's 95 % interval, in standard deviations, by definition.
NORMAL_95 = 1.96
# Ours: the zero of °C is no absence of anything, so that a temperature counts as this much at least. [°C]
LEAST_SIZE = {"°C": 20.0}


def band_words(band: Band, unit: str) -> str:
    """What is allowed, in the unit that was written.

    Example:
        >>> band_words(Band(80.0, 95.0, "ohm"), "ohm"), band_words(Band(None, 13.3, "ohm"), "ohm")
        ('80–95 ohm', 'at most 13.3 ohm')
        >>> band_words(Band(-3.0, -1.0, "mm"), "mm")
        '−3 to −1 mm'
    """
    ends = [units.signed(f"{units.to_unit(end, unit):.6g}") for end in (band.lower, band.upper) if end is not None]
    if len(ends) == 2:
        return f"{units.between(*ends)} {unit}"
    return f"{'at least' if band.upper is None else 'at most'} {ends[0]} {unit}"


def span_words(span: units.Span) -> str:
    """What is allowed, as people read it, however it was typed.

    Example:
        >>> span_words(units.span("35..45 °C")), span_words(units.span("min 176 °F"))
        ('35–45 °C', 'at least 176 °F')
    """
    return band_words(Band(span.lower, span.upper, span.kind.unit), span.unit)


def value_words(data: Mapping[str, Any]) -> str:
    """The value with half of its 95 % interval on each side, in the unit that was written."""
    estimate = Estimate.from_json(data["estimate"])
    low, high = (units.to_unit(end, data["unit"]) for end in estimate.interval(0.95))
    half = 0.5 * (high - low)
    conditions = f" {data['band']['conditions']}" if data["band"]["conditions"] else ""
    if says_nothing(estimate, Band.from_json(data["band"])):
        return f"{NO_NUMBER}{conditions}"
    places = decimals_for(half)
    value = f"{units.to_unit(estimate.value, data['unit']):.{places}f}"
    return units.signed(f"{value} ± {half:.{places}f} {data['unit']}{conditions}")


def says_nothing(estimate: Estimate, band: Band | None = None) -> bool:
    """Is the doubt wider than the thing itself and than all that is allowed, so that its number would only mislead?

    Example:
        >>> from knowngood.engine.judgement.estimate import Row
        >>> says_nothing(Estimate(0.1, "deg", (Row("zero", 0.2),)), Band(None, 0.5, "deg"))
        False
        >>> says_nothing(Estimate(83.0, "°C", (Row("scatter", 79.0),)), Band(None, 95.0, "°C"))
        True
        >>> says_nothing(Estimate(0.3, "°C", (Row("zero", 1.7),)), Band(-2.0, 2.0, "°C"))
        False
    """
    low, high = estimate.interval(0.95)
    ends = [abs(end) for end in (band.lower, band.upper) if end is not None] if band else []
    return 0.5 * (high - low) > max(abs(estimate.value), LEAST_SIZE.get(estimate.unit, 0.0), *ends)


def bare_value_words(estimate: Estimate, unit: str, band: Band | None = None) -> str:
    """The value alone, with as many figures as its doubt leaves, in the unit that was written; or that it has none.

    Example:
        >>> bare_value_words(Estimate(0.1812, "A"), "mA")
        '181.2 mA'
    """
    if says_nothing(estimate, band):
        return NO_NUMBER
    low, high = (units.to_unit(end, unit) for end in estimate.interval(0.95))
    value, half = units.to_unit(estimate.value, unit), 0.5 * (high - low)
    shown = f"{value:.{decimals_for(half)}f}" if half else f"{value:.4g}"
    return units.signed(f"{shown} {unit}")


def left_words(settle: Mapping[str, Any], unit: str) -> str:
    """How well it would be known after a remedy, as half of a 95 % interval; nothing where an old event did not say."""
    left = settle.get("uncertainty")
    if left is None:
        return ""
    return f"then ± {size_words(NORMAL_95 * left, unit)}"


def size_words(size: float, unit: str) -> str:
    """How large a doubt is, with as many figures as say something, in the unit that was written."""
    written = abs(units.to_unit(size, unit, difference=True))
    return f"{written:.{decimals_for(written)}f} {unit}"


def decimals_for(half: float) -> int:
    """Decimal places that show a half-width with its first figure, or two where the first is 1.

    Example:
        >>> decimals_for(1.7), decimals_for(0.05), decimals_for(12.0), decimals_for(0.104)
        (1, 2, 0, 2)
    """
    places = 0
    while places < 6 and half * 10**places < (9.5 if places == 0 else 1.95):
        places += 1
    return places
