"""The unit of limits that were written without one, taken from the reading where that leaves no doubt."""

from collections.abc import Mapping

from knowngood import units
from knowngood.refusal import Refused

# Words that say which end a limit is, and are no unit.
ENDS = frozenset(("min", "max", "..", ">", "<", ">=", "<=", "≥", "≤", "to", "at least", "at most"))
# Ours: a reading further than this from both limits may be in another multiple of the unit, such as kΩ and Ω.
FURTHEST = 10.0
ASK = (
    '"{limits}" has no unit, and "{read}" lies more than ten times away from it, so the two may not be in the same. '
    "Write the unit of the limits, too."
)


def with_unit(typed: Mapping[str, str]) -> tuple[dict[str, str], str]:
    """Return what was typed with the reading's unit at limits that have none, and how they were taken; else empty.

    Raises:
        Refused: The reading lies so far from the limits that its unit may be another multiple.
    """
    limits, read = typed.get("limits", "").strip(), typed.get("read", "").strip()
    numbers, words = units.apart(limits)
    unit = _unit(read)
    if not numbers or unit is None or " ".join(words.split()) not in {"", *ENDS}:
        return dict(typed), ""
    sizes = [abs(one) for one in _plain(numbers) if one]
    shown = [abs(one) for one in _plain(units.apart(read)[0]) if one]
    apart = not sizes or not shown or max(shown) > FURTHEST * max(sizes) or FURTHEST * min(shown) < min(sizes)
    if apart and sizes and shown:
        raise Refused({"limits": ASK.format(limits=limits, read=read)})
    return {**typed, "limits": f"{limits} {unit}"}, f'"{limits}" as {limits} {unit}, the unit of the reading'


def _unit(read: str) -> str | None:
    """The one unit of a reading, as it was spelt."""
    found = {word for word in units.apart(read)[1].split() if word}
    one = next(iter(found)) if len(found) == 1 else ""
    return one if one in units.UNITS else None


def _plain(numbers: tuple[str, ...]) -> list[float]:
    """Numbers as plain floats; one that cannot be told is left to those who refuse it."""
    found = []
    for one in numbers:
        try:
            found.append(float(one.replace(",", ".")))
        except ValueError:
            return []
    return found
