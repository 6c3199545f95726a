"""What people write, to numbers and back: "85 lbf·in", "13,4 ohm", "48 ± 4 °C", "11..15 ohm".

Inside the program each kind of quantity has one unit. What was written stays beside the number, and its unit is what
is printed again. Pint converts; `table` says which spellings people use, `numerals` what a comma and a point mean.
"""

import math
import re

from knowngood.units.numerals import (
    NUMBER,
    UNSIGNED,
    Beyond,
    Numeral,
    Undecided,
    clean,
    closed_up,
    decide,
    grouped,
    grouped_readings,
    numerals,
    refuse_leader_dots,
)
from knowngood.units.reach import NO_THOUSANDTHS, beyond_in, refuse_beyond
from knowngood.units.spelling import OVERLOAD, fit, refuse_overload, unit_of
from knowngood.units.table import (
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
    "NUMBER", "OVERLOAD", "PLUS_MINUS", "UNITS", "Beyond", "Kind", "Quantity", "Readings", "Span", "Tolerance",
    "Undecided", "UnitsError", "apart", "between", "completed", "decided", "everything_is_beyond", "grouped",
    "kind_of", "nothing_is_beyond", "quantity", "readings", "show", "signed", "span", "to_inside", "to_unit",
    "tolerance",
]  # fmt: skip

PLUS_MINUS = re.compile(r"±|\+\s*(?:/\s*)?-")
BETWEEN = re.compile(r"\.\.\.?|…|\bto\b|–|(?<=[\d\s])-(?=\s*[\d.,])")
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


def nothing_is_beyond(_: float) -> bool:
    """For a field whose bounds speak for themselves, after it is read."""
    return False


def everything_is_beyond(_: float) -> bool:
    """For what was kept before thousands were asked about: a comma was always the decimal one."""
    return True


def completed(text: str, unit: str) -> str:
    """Return what was typed with the unit that its field shows, when none was typed.

    Example:
        >>> completed("3.7", "L"), completed("3.7 qt", "L"), completed("", "L")
        ('3.7 L', '3.7 qt', '')
    """
    bare = text and re.fullmatch(r"[\d\s.,;±+/'’−-]+", text)
    return f"{text} {unit}" if bare else text


def apart(text: str) -> tuple[tuple[str, ...], str]:
    """Return the numbers just as they were written, and the unit beside them; neither is judged.

    Example:
        >>> apart("100.9 101,0 ohms"), apart("48 ± 4 °C")
        ((('100.9', '101,0'), 'ohm'), (('48', '4'), '°C'))
    """
    numbers = tuple(numerals(text))
    words = re.sub(NUMBER, " ", clean(text)).strip(" ±,;")
    return numbers, SPELLINGS.get(words, words)


def decided(
    text: str,
    kind: Kind | None = None,
    *,
    unit: str | None = None,
    many: bool = False,
    beyond: Beyond | None = None,
) -> tuple[str, tuple[str, ...]]:
    """Return what was typed with every number in plain digits, and those that could have been read in another way.

    Args:
        text: One field, of any form that is read here.
        kind: Its kind.
        unit: What a bare number of it is in.
        many: Several readings of one thing.
        beyond: Says of a value in the unit inside that it cannot be; None takes how far its kind goes.

    Raises:
        UnitsError: As for `quantity`.

    Example:
        >>> decided("min 21,985 mm", beyond=lambda mm: mm > 60.0)
        ('min 21.985 mm', ('21,985 as 21.985',))
    """
    word, _, rest = _one_end(text)
    whole = closed_up(rest) if many else grouped(rest)
    bare = PLUS_MINUS.sub(" ", BETWEEN.sub(" ", whole))
    found, written = _read(bare, kind, unit, shown=text, many=many, beyond=beyond)
    if many:
        whole = grouped_readings(whole, beyond_in(written, beyond))
    plain = iter(found)
    whole = re.sub(UNSIGNED, lambda _: next(plain).plain.lstrip("+-"), whole)
    return f"{word} {whole}".strip(), tuple(f"{one.written} as {one.plain}" for one in found if one.taken)


def quantity(text: str, kind: Kind | None = None, *, unit: str | None = None, beyond: Beyond | None = None) -> Quantity:
    """Read one number with its unit, its thousands apart or not.

    Args:
        text: As typed.
        kind: What belongs here; None takes any.
        unit: The one that the field shows already.
        beyond: Says of a value in the unit inside that it cannot be; None takes how far its kind goes, and refuses
            what goes further.

    Raises:
        UnitsError: No number, no unit, an unknown or an unfit one; thousands or a fraction; out of reach.

    Example:
        >>> quantity("12,5 mm").value, round(quantity("212 °F").value, 9)
        (12.5, 100.0)
        >>> quantity("148 300 km").value
        148300.0
    """
    found, written = _read(grouped(text), kind, unit, shown=text, beyond=beyond)
    if len(found) != 1:
        example = (kind or kind_of(written)).example
        raise UnitsError(f'"{text}" holds {len(found)} numbers; one belongs here, such as "{example}".')
    return Quantity(text, kind_of(written), written, to_inside(_float(found[0]), written))


def readings(text: str, kind: Kind | None = None, *, unit: str | None = None, beyond: Beyond | None = None) -> Readings:
    """Read one or more readings of one thing.

    Raises:
        UnitsError: As for `quantity`; an overload is no number.

    Example:
        >>> readings("13,1 13,3 13,2 ohm").values
        (13.1, 13.3, 13.2)
    """
    found, written = _read(closed_up(text), kind, unit, shown=text, many=True, beyond=beyond)
    step = 10.0 ** -max(one.places for one in found) * slope_and_offset(written, difference=True)[0]
    return Readings(text, kind_of(written), written, tuple(to_inside(_float(one), written) for one in found), step)


def span(text: str, kind: Kind | None = None, *, unit: str | None = None, beyond: Beyond | None = None) -> Span:
    """Read what is allowed: "11..15 ohm", "80 to 95 ohm", "max 13.3 ohm", ">= 490 kPa", "8 N·m ± 1".

    Raises:
        UnitsError: As for `quantity`; no two ends, or the wrong way round.

    Example:
        >>> span("max 13.3 ohm").upper, span("8 N·m ± 1").lower
        (13.3, 7.0)
    """
    if PLUS_MINUS.search(text):
        around = tolerance(text, kind, unit=unit, beyond=beyond)
        half = around.half_width or 0.0
        return Span(text, around.kind, around.unit, around.value - half, around.value + half)
    _, end, rest = _one_end(text)
    if end:
        only = quantity(rest, kind, unit=unit, beyond=beyond)
        lower, upper = (only.value, None) if end == "lower" else (None, only.value)
        return Span(text, only.kind, only.unit, lower, upper)
    parts = [grouped(part) for part in BETWEEN.split(clean(text), maxsplit=1)]
    found, written = _read(" ".join(parts), kind, unit, shown=text, beyond=beyond)
    if len(parts) != 2 or len(found) != 2:
        raise UnitsError(
            f'"{text}" is not what is allowed. Write two ends or one, such as "80..95 ohm" or "max 13.3 ohm".'
        )
    low, high = (to_inside(_float(one), written) for one in found)
    if low == high:
        raise UnitsError(
            f'"{text}" has one value for both ends. Write two, such as "80..95 ohm", or how far it may be off: '
            f'"{found[0].plain} ± 1 {written}".'
        )
    if low > high:
        raise UnitsError(
            f'"{text}" runs from high to low. Write the lower end first: "{found[1].plain}..{found[0].plain} '
            f'{written}".'
        )
    return Span(text, kind_of(written), written, low, high)


def tolerance(
    text: str, kind: Kind | None = None, *, unit: str | None = None, beyond: Beyond | None = None
) -> Tolerance:
    """Read a value that may say how far it is off: "8 N·m ± 1", "48 ± 4 °C", "41 °C".

    Raises:
        UnitsError: As for `quantity`; a half-width that is not above zero.

    Example:
        >>> tolerance("48 +- 4 °C").half_width
        4.0
    """
    parts = [grouped(part) for part in PLUS_MINUS.split(clean(text), maxsplit=1)]
    if len(parts) == 1:
        only = quantity(text, kind, unit=unit, beyond=beyond)
        return Tolerance(text, only.kind, only.unit, only.value, None)
    found, written = _read(" ".join(parts), kind, unit, shown=text, beyond=beyond)
    if len(found) != 2:
        raise UnitsError(f'"{text}" does not say how far off. Write one number on each side of ±, such as "48 ± 4 °C".')
    value, off = (_float(one) for one in found)
    if off <= 0:
        raise UnitsError(f'"{text}" is off by {off:g}. Write what comes after ± above zero, such as "48 ± 4 °C".')
    half = to_inside(off, written, difference=True)
    return Tolerance(text, kind_of(written), written, to_inside(value, written), half)


def _one_end(text: str) -> tuple[str, str, str]:
    """The word before a single end, which end it is, and the rest; "" for both where no such word stands."""
    text = text.strip()
    word = next((word for word in ONE_END if text.lower().startswith(word)), "")
    rest = text[len(word) :]
    return text[: len(word)], ONE_END.get(word, ""), (rest[1:] if word and rest.startswith(". ") else rest).strip()


def _read(
    text: str, kind: Kind | None, unit: str | None, *, shown: str, many: bool = False, beyond: Beyond | None = None
) -> tuple[list[Numeral], str]:
    """Split into numbers and one unit, and refuse what cannot be meant; `shown` is the text as typed."""
    cleaned = clean(text)
    example = (kind or Kind.RESISTANCE).example
    if not cleaned:
        raise UnitsError(f'Nothing is written here. Write a number with its unit, such as "{example}".')
    refuse_overload(cleaned, shown, kind)
    if PLUS_MINUS.search(cleaned):
        raise UnitsError(
            f'"{shown}" says how far off; a plain number belongs here. Write it without ±, such as "{example}".'
        )
    refuse_leader_dots(cleaned)
    beside = unit_of(cleaned, shown, kind, unit)
    if not numerals(cleaned):
        raise UnitsError(f'"{shown}" holds no number. Write one with its unit, such as "{example}".')
    known = fit(beside, shown, kind)
    cannot_be = beyond_in(known, beyond)
    written = numerals(grouped_readings(cleaned, cannot_be) if many else cleaned)
    found = decide(written, shown, beyond=cannot_be, points_too=kind_of(known) in NO_THOUSANDTHS)
    values = [_float(one) for one in found]
    if beyond is None:
        for value in values:
            refuse_beyond(to_inside(value, known), known, shown)
    return found, known


def _float(numeral: Numeral) -> float:
    value = float(numeral.plain)
    if not math.isfinite(value):
        raise UnitsError(f'"{numeral.written}" is beyond any reading. Write a number that a display can show.')
    return value
