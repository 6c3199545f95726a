"""What people write, to numbers and back: "85 lbf·in", "13,4 ohm", "48 ± 4 °C", "11..15 ohm".

Inside the program each kind of quantity has one unit. What was written stays beside the number, and its unit is what
is printed again. Pint converts; `table` says which spellings people use.
"""

import difflib
import math
import re

from knowngood.units.table import (
    MILLI_OR_MEGA,
    OTHERWISE_OVERLOADED,
    OVERLOADED,
    SPELLINGS,
    UNITS,
    Kind,
    UnitsError,
    between,
    kind_of,
    show,
    signed,
    slope_and_offset,
    to_inside,
    to_unit,
)
from knowngood.units.written import Quantity, Readings, Span, Tolerance

__all__ = [
    "UNITS", "Kind", "Quantity", "Readings", "Span", "Tolerance", "UnitsError", "apart", "between", "completed",
    "grouped", "kind_of", "quantity", "readings", "show", "signed", "span", "to_inside", "to_unit", "tolerance",
]  # fmt: skip

NUMBER = r"[-+]?(?:\d+(?:[.,]\d+)?|[.,]\d+)(?:[eE][-+]?\d+)?"
OVERLOAD = re.compile(r"\b[O0]\.?L\.?\b|overload|\binf|∞", re.IGNORECASE)
PLUS_MINUS = re.compile(r"±|\+\s*/?\s*-")
BETWEEN = re.compile(r"\.\.\.?|…|\bto\b|–|(?<=[\d\s])-(?=\s*[\d.,])")
# Thousands set apart by a space or an apostrophe; a comma or a point there may be a decimal one.
THOUSANDS = re.compile(r"(?<![\d.,])[1-9]\d{0,2}(?:(?: \d{3})+|(?:['’]\d{3})+)(?!\d)")
THOUSANDS_OR_FRACTION = re.compile(r"(?<![\d.,])[1-9]\d{0,2}[.,]\d{3}(?!\d)")
# What is written in more than one way; a digit that belongs to a unit is no number.
SAME = (
    ("\u2212", "-"), ("\u00a0", " "), ("\u202f", " "), ("\u2009", " "), ("⋅", "·"), ("m3", "m³"), ("/in2", "/in²"),
    ("H2O", "H₂O"), ("h2o", "H₂O"),
)  # fmt: skip
ONE_END = {
    "max": "upper",
    "<=": "upper",
    "≤": "upper",
    "<": "upper",
    "min": "lower",
    ">=": "lower",
    "≥": "lower",
    ">": "lower",
}


def completed(text: str, unit: str) -> str:
    """Return what was typed with the unit that its field shows, when none was typed.

    Example:
        >>> completed("4.5", "L"), completed("4.5 qt", "L"), completed("", "L")
        ('4.5 L', '4.5 qt', '')
    """
    bare = text and re.fullmatch(r"[\d\s.,;±+/'’−-]+", text)
    return f"{text} {unit}" if bare else text


def apart(text: str) -> tuple[tuple[str, ...], str]:
    """Return the numbers just as they were written, and the unit beside them; neither is judged.

    Example:
        >>> apart("100.9 101,0 ohms"), apart("48 ± 4 °C")
        ((('100.9', '101,0'), 'ohm'), (('48', '4'), '°C'))
    """
    numbers = tuple(_numerals(text))
    words = re.sub(NUMBER, " ", _clean(text)).strip(" ±,;")
    return numbers, SPELLINGS.get(words, words)


def grouped(text: str) -> str:
    """Return what was typed with the thousands of a number in one; only for where no second number may follow.

    Example:
        >>> grouped("148 300 km"), grouped("1'250,5"), grouped("12 5")
        ('148300 km', '1250,5', '12 5')
    """
    return THOUSANDS.sub(lambda found: re.sub(r"\D", "", found[0]), _clean(text))


def quantity(text: str, kind: Kind | None = None, *, unit: str | None = None) -> Quantity:
    """Read one number with its unit, its thousands apart or not; `unit` is the one that the field shows already.

    Raises:
        UnitsError: No number, no unit, an unknown or an unfit one.

    Example:
        >>> quantity("12,5 mm").value, round(quantity("212 °F").value, 9)
        (12.5, 100.0)
        >>> quantity("148 300 km").value
        148300.0
    """
    numbers, written = _read(grouped(text), kind, unit, shown=text)
    if len(numbers) != 1:
        example = (kind or kind_of(written)).example
        raise UnitsError(f'"{text}" holds {len(numbers)} numbers; one belongs here, such as "{example}".')
    return Quantity(text, kind_of(written), written, to_inside(numbers[0], written))


def readings(text: str, kind: Kind | None = None, *, unit: str | None = None) -> Readings:
    """Read one or more readings of one thing.

    Raises:
        UnitsError: As for `quantity`; an overload is no number.

    Example:
        >>> readings("13,1 13,3 13,2 ohm").values
        (13.1, 13.3, 13.2)
    """
    numbers, written = _read(text, kind, unit)
    places = max(len(re.split(r"[.,]", one)[1]) if re.search(r"[.,]", one) else 0 for one in _numerals(text))
    step = 10.0**-places * slope_and_offset(written, difference=True)[0]
    return Readings(text, kind_of(written), written, tuple(to_inside(one, written) for one in numbers), step)


def span(text: str, kind: Kind | None = None, *, unit: str | None = None) -> Span:
    """Read what is allowed: "11..15 ohm", "80 to 95 ohm", "max 13.3 ohm", ">= 490 kPa", "8 N·m ± 1".

    Raises:
        UnitsError: As for `quantity`; no two ends, or the wrong way round.

    Example:
        >>> span("max 13.3 ohm").upper, span("8 N·m ± 1").lower
        (13.3, 7.0)
    """
    if PLUS_MINUS.search(text):
        around = tolerance(text, kind, unit=unit)
        half = around.half_width or 0.0
        return Span(text, around.kind, around.unit, around.value - half, around.value + half)
    for word, end in ONE_END.items():
        if text.strip().lower().startswith(word):
            one = quantity(text.strip()[len(word) :].strip(), kind, unit=unit)
            lower, upper = (one.value, None) if end == "lower" else (None, one.value)
            return Span(text, one.kind, one.unit, lower, upper)
    parts = [grouped(part) for part in BETWEEN.split(_clean(text), maxsplit=1)]
    numbers, written = _read(" ".join(parts), kind, unit, shown=text)
    if len(parts) != 2 or len(numbers) != 2:
        raise UnitsError(
            f'"{text}" is not what is allowed. Write two ends or one, such as "80..95 ohm" or "max 13.3 ohm".'
        )
    low, high = (to_inside(one, written) for one in numbers)
    if low >= high:
        raise UnitsError(
            f'"{text}" runs from high to low. Write the lower end first: "{numbers[1]:g}..{numbers[0]:g} {written}".'
        )
    return Span(text, kind_of(written), written, low, high)


def tolerance(text: str, kind: Kind | None = None, *, unit: str | None = None) -> Tolerance:
    """Read a value that may say how far it is off: "8 N·m ± 1", "48 ± 4 °C", "41 °C".

    Raises:
        UnitsError: As for `quantity`; a half-width that is not above zero.

    Example:
        >>> tolerance("48 +- 4 °C").half_width
        4.0
    """
    parts = [grouped(part) for part in PLUS_MINUS.split(_clean(text), maxsplit=1)]
    if len(parts) == 1:
        one = quantity(text, kind, unit=unit)
        return Tolerance(text, one.kind, one.unit, one.value, None)
    numbers, written = _read(" ".join(parts), kind, unit, shown=text)
    if len(numbers) != 2:
        raise UnitsError(f'"{text}" does not say how far off. Write one number on each side of ±, such as "48 ± 4 °C".')
    if numbers[1] <= 0:
        raise UnitsError(
            f'"{text}" is off by {numbers[1]:g}. Write what comes after ± above zero, such as "48 ± 4 °C".'
        )
    half = to_inside(numbers[1], written, difference=True)
    return Tolerance(text, kind_of(written), written, to_inside(numbers[0], written), half)


def _clean(text: str) -> str:
    for found, instead in SAME:
        text = text.replace(found, instead)
    return text.strip()


def _numerals(text: str) -> list[str]:
    """The numbers as written; a comma between digits is a decimal comma, one before a space separates."""
    return re.findall(NUMBER, re.sub(r"[,;](?=\s|$)", " ", _clean(text)))


def _read(text: str, kind: Kind | None, unit: str | None, *, shown: str = "") -> tuple[list[float], str]:
    """Split into numbers and one unit, and refuse what cannot be meant; `shown` is the text as typed."""
    cleaned, text = _clean(text), shown or text
    example = (kind or Kind.RESISTANCE).example
    if not cleaned:
        raise UnitsError(f'Nothing is written here. Write a number with its unit, such as "{example}".')
    _refuse_overload(cleaned, text, kind)
    if PLUS_MINUS.search(cleaned):
        raise UnitsError(
            f'"{text}" says how far off; a plain number belongs here. Write it without ±, such as "{example}".'
        )
    if re.search(r"\d[.,]\d{3}[.,]\d|\d[.,]\d+[.,]\d", cleaned.replace("..", " ")):
        raise UnitsError(
            f'"{text}" has two separators in one number. Write thousands without one, such as "148300 km".'
        )
    written, numbers = _unit_and_rest(cleaned, text, kind, unit)
    if not numbers:
        raise UnitsError(f'"{text}" holds no number. Write one with its unit, such as "{example}".')
    fit = _fit(written, text, kind)
    if kind_of(fit) is Kind.DISTANCE and THOUSANDS_OR_FRACTION.search(cleaned):
        raise UnitsError(
            f'"{text}" may mean thousands or a fraction. Write thousands without a separator, such as "148300 km".'
        )
    return numbers, fit


def _refuse_overload(cleaned: str, text: str, kind: Kind | None) -> None:
    if not OVERLOAD.search(cleaned) or (kind is Kind.VOLUME and cleaned.startswith("0")):
        return  # 0L is no litre at all
    means = OVERLOADED.get(kind, OTHERWISE_OVERLOADED) if kind else OTHERWISE_OVERLOADED
    raise UnitsError(f'"{text}" is the display\'s overload: {means}')


def _unit_and_rest(cleaned: str, text: str, kind: Kind | None, unit: str | None) -> tuple[str, list[float]]:
    numerals = _numerals(cleaned)
    words = re.sub(NUMBER, "\x00", re.sub(r"[,;](?=\s|$)", " ", cleaned))
    found = list(dict.fromkeys(word for part in words.split("\x00") if (word := part.strip(" ,;"))))
    if len(found) > 1:
        raise UnitsError(f'"{text}" has two units, "{found[0]}" and "{found[1]}". Write one, after the last number.')
    if not found and unit is None:
        example = (kind or Kind.RESISTANCE).example
        raise UnitsError(f'"{text}" has no unit. Write it with one, such as "{example}".')
    return (found[0] if found else unit or ""), [_float(one) for one in numerals]


def _float(numeral: str) -> float:
    value = float(numeral.replace(",", "."))
    if not math.isfinite(value):
        raise UnitsError(f'"{numeral}" is beyond any reading. Write a number that a display can show.')
    return value


def _fit(written: str, text: str, kind: Kind | None) -> str:
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
