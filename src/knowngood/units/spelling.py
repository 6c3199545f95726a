"""The unit beside the numbers as people spell it, and a display's overload, which is no number at all."""

import difflib
import re

from knowngood.units.numerals import NUMBER
from knowngood.units.table import (
    MILLI_OR_MEGA,
    OTHERWISE_OVERLOADED,
    OVERLOADED,
    SPELLINGS,
    Kind,
    UnitsError,
    kind_of,
)

OVERLOAD = re.compile(r"\b[O0]\.?L\.?\b|overload|\binf|∞", re.IGNORECASE)


def refuse_overload(cleaned: str, text: str, kind: Kind | None) -> None:
    """Refuse what a display shows when it can show no number.

    Raises:
        UnitsError: With what it means for this kind.
    """
    if not OVERLOAD.search(cleaned) or (kind is Kind.VOLUME and cleaned.startswith("0")):
        return  # 0L is no litre at all
    means = OVERLOADED.get(kind, OTHERWISE_OVERLOADED) if kind else OTHERWISE_OVERLOADED
    raise UnitsError(f'"{text}" is the display\'s overload: {means}')


def unit_of(cleaned: str, text: str, kind: Kind | None, unit: str | None) -> str:
    """The one unit that is written beside the numbers; that of the field when none is."""
    words = re.sub(NUMBER, "\x00", re.sub(r"[,;](?=\s|$)", " ", cleaned))
    found = list(dict.fromkeys(word for part in words.split("\x00") if (word := part.strip(" ,;"))))
    if len(found) > 1:
        raise UnitsError(f'"{text}" has two units, "{found[0]}" and "{found[1]}". Write one, after the last number.')
    if not found and unit is None:
        example = (kind or Kind.RESISTANCE).example
        raise UnitsError(f'"{text}" has no unit. Write it with one, such as "{example}".')
    return found[0] if found else unit or ""


def fit(written: str, text: str, kind: Kind | None) -> str:
    """The unit as it is printed, of the kind that belongs here."""
    if kind is Kind.TORQUE and written.lower() in ("lb", "lbs", "kg", "pound", "pounds"):
        raise UnitsError(
            f'"{text}" is a weight, not a torque. Write lbf·in or lbf·ft (or N·m): the two differ by 12 times.'
        )
    unit = _folded(written, kind)
    if unit is None:
        alike = [spelling for spelling in SPELLINGS if spelling.lower() == written.lower()]
        near = alike or difflib.get_close_matches(written, SPELLINGS, n=1, cutoff=0.5)
        hint = f'; did you mean "{near[0]}"?' if near else f'. Write one such as "{(kind or Kind.RESISTANCE).example}".'
        raise UnitsError(f'"{written}" is not a unit known here{hint}')
    found = kind_of(unit)
    if kind is None or found is kind:
        return unit
    raise UnitsError(f'"{text}" is {found.words}; {kind.words} belongs here, such as "{kind.example}".')


def _folded(written: str, kind: Kind | None) -> str | None:
    """Find the unit; capitals count only where they tell two units apart, as in mΩ and MΩ."""
    for spelling in (written, written.rstrip("."), re.sub(r"\s+", " ", written)):
        if spelling in SPELLINGS:
            return SPELLINGS[spelling]
    alike = {unit for spelling, unit in SPELLINGS.items() if spelling.lower() == written.lower()}
    # m and M are a thousand million apart: "MV" is never taken for mV.
    alike = {unit for unit in alike if unit not in MILLI_OR_MEGA or unit[0] == written[0]}
    fits = {unit for unit in alike if kind is None or kind_of(unit) is kind}
    return fits.pop() if len(fits) == 1 else None
