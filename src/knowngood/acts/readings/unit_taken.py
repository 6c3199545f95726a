"""The unit of limits that were written without one, taken from the reading where that leaves no doubt."""

import math
from collections.abc import Mapping, Sequence

from knowngood import units
from knowngood.quantities.model import Quantity
from knowngood.refusal import Refused

# Ours: a reading further than this from both limits may be in another multiple of the unit, such as kΩ and Ω.
FURTHEST = 10.0
# Ours: when a reading lies so many times nearer to the limits in another unit of its kind, either may be meant. It is
# more than what tells N·m from lbf·ft and L from qt, so that those are taken as they are written.
NEARER = 1.5
ASK = (
    '"{limits}" has no unit, and "{read}" lies more than ten times away from it, so the two may not be in the same. '
    "Write the unit of the limits, too."
)
ASK_WHICH = '"{limits}" has no unit, and beside "{read}" it may be in {own} or in {other}. Write which of them it is.'


def with_unit(typed: Mapping[str, str], quantity: Quantity | None = None) -> tuple[dict[str, str], str]:
    """Return what was typed with the reading's unit at limits that have none, and how they were taken; else empty.

    Args:
        typed: Its limits and read count.
        quantity: What was read; one whose limits are of another kind than its readings takes nothing from them.

    Raises:
        Refused: The reading lies so far from the limits, or so near in another unit, that theirs is in doubt.
    """
    limits, read = typed.get("limits", "").strip(), typed.get("read", "").strip()
    if quantity and quantity.judged is not quantity.reads:
        return dict(typed), ""
    try:
        shown = units.readings(read, beyond=units.everything_is_beyond)
        taken = units.span(f"{limits} {shown.unit}", beyond=units.everything_is_beyond)
    except units.UnitsError:  # a unit at the limits, none at the reading, or what is refused where it is judged
        return dict(typed), ""
    ends = [units.to_unit(end, taken.unit) for end in (taken.lower, taken.upper) if end is not None]
    if words := _doubt(ends, shown):
        raise Refused({"limits": words.format(limits=limits, read=read)})
    return {
        **typed,
        "limits": f"{limits} {taken.unit}",
    }, f'"{limits}" as {limits} {taken.unit}, the unit of the reading'


def _doubt(ends: Sequence[float], shown: units.Readings) -> str:
    """The question that is to be asked about the ends of bare limits; empty where there is none."""
    others = [one for one in units.UNITS if units.kind_of(one) is shown.kind and not _alike(one, shown.unit)]
    rows = [(_times_off(ends, [units.to_unit(one, other) for one in shown.values]), other) for other in others]
    nearest, other = min(rows, default=(math.inf, ""))
    far = _times_off(ends, [units.to_unit(one, shown.unit) for one in shown.values])
    if nearest * NEARER < far:
        return ASK_WHICH.replace("{own}", shown.unit).replace("{other}", other)
    return ASK if others and far > FURTHEST else ""


def _alike(one: str, other: str) -> bool:
    """One unit in two spellings, such as ohm and Ω."""
    return units.UNITS[one][0] == units.UNITS[other][0]


def _times_off(ends: Sequence[float], values: Sequence[float]) -> float:
    """How many times too small or too large the furthest of some values is; 1 between the ends, or where one is 0."""
    sizes, shown = ([abs(one) for one in row if one] for row in (ends, values))
    return max(1.0, max(shown) / max(sizes), min(sizes) / min(shown)) if sizes and shown else 1.0
