"""One winding read cold and hot: how warm it was by its own resistance, and whether it rises as copper should."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from knowngood import units
from knowngood.acts.readings.values import NO_NUMBER, decimals_for, says_nothing
from knowngood.engine.judgement import Estimate, Judgement, Verdict
from knowngood.engine.judgement.decide import percent
from knowngood.engine.measurement.electrical.copper import as_read, fits_copper
from knowngood.engine.measurement.electrical.resistance import REFERENCE_C, Part
from knowngood.engine.measurement.readings.relations import copper_gap, winding_c
from knowngood.quantities.basic import AT, CONDUCTOR, PART, WINDING, part_with

K = units.Kind
# What an event keeps stays as it was read.
AS_KEPT = units.everything_is_beyond


@dataclass(frozen=True)
class Warmed:
    """One winding, cold and hot.

    Args:
        celsius: How warm it was when hot, by its own resistance. [°C]
        gap: So much warmer than what was typed; zero for sound copper. [K]
        judgement: Whether that gap fits copper.
        words: The same for the mechanic, in the unit of what was typed.
    """

    celsius: Estimate
    gap: Estimate
    judgement: Judgement
    words: str


def can_be_copper(cold: Mapping[str, Any], hot: Mapping[str, Any]) -> bool:
    """Are these two readings of windings that may be copper, the second the warmer one as typed?"""
    if any(data.get("quantity") != WINDING.name or not _typed(data, PART.name) for data in (cold, hot)):
        return False
    if any(_typed(data, CONDUCTOR.name) not in ("", "copper") for data in (cold, hot)):
        return False
    return _part(hot).celsius > _part(cold).celsius


def raw(data: Mapping[str, Any]) -> dict[str, Any]:
    """What an event of a winding keeps, with its resistance as it was read, leads off: not brought to 20 °C."""
    at = _typed(data, AT.name)
    reference_c = units.quantity(at, K.TEMPERATURE, unit=AT.unit, beyond=AS_KEPT).value if at else REFERENCE_C
    found = as_read(
        Estimate.from_json(data["estimate"]),
        part_c=_part(data).celsius,
        conductor=_typed(data, CONDUCTOR.name) or "unknown",
        reference_c=reference_c,
    )
    return {**data, "estimate": found.to_json()}


def warmed(cold: Estimate, hot: Estimate, *, cold_data: Mapping[str, Any], hot_data: Mapping[str, Any]) -> Warmed:
    """Return how warm a winding was by its own resistance, against what was typed.

    Args:
        cold: Resistance as read, with keys that say whose errors they are. [ohm]
        hot: The same, warm. [ohm]
        cold_data: Of the event, with the temperature that was typed.
        hot_data: The same, warm.

    Raises:
        ValueError: The cold reading may as well be zero.
    """
    parts = _part(cold_data), _part(hot_data)
    celsius = winding_c(cold, hot, cold_part=parts[0])
    gap = copper_gap(cold, hot, cold_part=parts[0], hot_part=parts[1])
    _, judgement = fits_copper(gap, parts[1].celsius - parts[0].celsius)
    return Warmed(celsius, gap, judgement, _words(celsius, gap, judgement, hot_data))


def _typed(data: Mapping[str, Any], name: str) -> str:
    return str(data["typed"].get(name, ""))


def _part(data: Mapping[str, Any]) -> Part:
    found = units.tolerance(_typed(data, PART.name), K.TEMPERATURE, unit=PART.unit, beyond=AS_KEPT)
    return part_with(found.value, found.half_width)


def _words(celsius: Estimate, gap: Estimate, judgement: Judgement, hot_data: Mapping[str, Any]) -> str:
    """How warm, and what follows for the winding."""
    unit = units.tolerance(_typed(hot_data, PART.name), K.TEMPERATURE, unit=PART.unit, beyond=AS_KEPT).unit
    part = _part(hot_data)
    low, high = celsius.interval(0.95)
    half = units.to_unit(0.5 * (high - low), unit, difference=True)
    places = decimals_for(half)
    shown = units.signed(f"{units.to_unit(celsius.value, unit):.{places}f} ± {half:.{places}f} {unit}")
    by_itself = f"how warm the winding was is {NO_NUMBER}" if says_nothing(celsius) else f"the winding was at {shown}"
    off = units.to_unit(part.half_width_k, unit, difference=True)
    typed = units.signed(f"{units.to_unit(part.celsius, unit):.4g} ± {off:.3g} {unit}")
    return f"By its own resistance {by_itself}; {typed} was typed. {_follows(gap, judgement)}"


def _follows(gap: Estimate, judgement: Judgement) -> str:
    inside = judgement.probability_inside
    match judgement.verdict:
        case Verdict.WITHIN:
            return f"It rises as copper should ({percent(inside)})."
        case Verdict.OUT if gap.value > 0.0:
            return (
                f"It rises more than copper does ({percent(1.0 - inside)}): suspect a joint or a connection that opens "
                "when it is warm."
            )
        case Verdict.OUT:
            return (
                f"It rises less than copper should ({percent(1.0 - inside)}): suspect shorted turns, or something in "
                "series that is no copper."
            )
        case Verdict.CANT_TELL:
            return (
                f"Whether it rises as copper should cannot be told ({percent(inside)} that it does). "
                "Warm it more, or read both temperatures more closely."
            )
