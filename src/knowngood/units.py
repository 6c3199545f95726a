"""What people write, to numbers and back: "85 lbf·in", "13,4 ohm", "48 ± 4 °C", "11..15 ohm".

Inside the program each kind of quantity has one unit. What was written stays beside the number, and its unit is what
is printed again. Pint converts; the table below says which spellings people use.
"""

import difflib
import math
import re
from dataclasses import dataclass
from enum import Enum
from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import pint


class Kind(Enum):
    """Kinds of quantity, each with its unit inside, what it is called, and how one is written."""

    RESISTANCE = ("ohm", "a resistance", "13.4 ohm")
    VOLTAGE = ("V", "a voltage", "12.6 V")
    CURRENT = ("A", "a current", "0.05 A")
    TEMPERATURE = ("°C", "a temperature", "41 °C")
    TEMPERATURE_DIFFERENCE = ("K", "a difference of temperatures", "4 K")
    VOLUME = ("L", "a volume", "3.2 L")
    LENGTH = ("mm", "a length", "1.5 mm")
    TORQUE = ("N·m", "a torque", "8 N·m")
    FORCE = ("kN", "a force", "2 kN")
    MASS = ("kg", "a mass", "1500 kg")
    PRESSURE = ("kPa", "a pressure", "110 kPa")
    DURATION = ("min", "a time", "20 min")
    DISTANCE = ("km", "a distance", "500 km")
    ANGLE = ("deg", "an angle", "90 deg")
    SHARE = ("%", "a share", "5 %")

    def __init__(self, unit: str, words: str, example: str) -> None:
        self.unit, self.words, self.example = unit, words, example


class UnitsError(ValueError):
    """What was written cannot be read; the text is the sentence for the person."""


# Our own short list for pint: reading its full one costs more than a verdict does. Exact definitions.
# Source: NIST_SP_811, appendix B (inch, pound-force, US gallon, psi); the imperial gallon is 4.54609 L by definition.
DEFINITIONS = """
milli- = 1e-3 = m-
micro- = 1e-6 = µ- = μ-
kilo- = 1e3 = k-
mega- = 1e6 = M-
ohm = [resistance]
volt = [voltage] = V
ampere = [current] = A
kelvin = [temperature] = K
degree_Celsius = kelvin; offset: 273.15 = degC
degree_Fahrenheit = 5 / 9 * kelvin; offset: 233.15 + 200 / 9 = degF
delta_degF = 5 / 9 * kelvin
meter = [length] = m
centimeter = 0.01 * meter
inch = 0.0254 * meter
thou = 0.001 * inch
mile = 1609.344 * meter
liter = 0.001 * meter ** 3
gallon = 231 * inch ** 3
quart = gallon / 4
pint_us = gallon / 8
imperial_gallon = 4.54609 * liter
imperial_quart = imperial_gallon / 4
gram = [mass] = g
pound = 0.45359237 * kilogram
second = [time] = s
minute = 60 * second
hour = 3600 * second
newton = kilogram * meter / second ** 2 = N
pound_force = pound * 9.80665 * meter / second ** 2
kilogram_force = 9.80665 * newton
pascal = newton / meter ** 2 = Pa
bar = 1e5 * pascal
psi = pound_force / inch ** 2
degree = [angle]
percent = [share]
"""

# What is printed: (pint's expression, kind, other spellings).
UNITS: dict[str, tuple[str, Kind, tuple[str, ...]]] = {
    "ohm": ("ohm", Kind.RESISTANCE, ("ohms", "Ohm", "OHM")),
    "Ω": ("ohm", Kind.RESISTANCE, ("Ω",)),
    "kΩ": ("kiloohm", Kind.RESISTANCE, ("kΩ", "kohm", "kOhm", "k")),
    "mΩ": ("milliohm", Kind.RESISTANCE, ("mΩ", "mohm", "mOhm")),
    "MΩ": ("megaohm", Kind.RESISTANCE, ("MΩ", "Mohm", "MOhm")),
    "V": ("volt", Kind.VOLTAGE, ("volt", "volts", "v")),
    "mV": ("millivolt", Kind.VOLTAGE, ("mv",)),
    "A": ("ampere", Kind.CURRENT, ("amp", "amps", "a")),
    "mA": ("milliampere", Kind.CURRENT, ("ma",)),
    "°C": ("degC", Kind.TEMPERATURE, ("C", "degC", "deg C", "º C", "ºC", "℃", "° C", "celsius")),
    "°F": ("degF", Kind.TEMPERATURE, ("F", "degF", "deg F", "ºF", "℉", "° F", "fahrenheit")),
    "K": ("kelvin", Kind.TEMPERATURE_DIFFERENCE, ("kelvin", "Kelvin")),
    "L": ("liter", Kind.VOLUME, ("l", "litre", "litres", "liter", "liters", "ltr")),
    "mL": ("milliliter", Kind.VOLUME, ("ml",)),
    "qt": ("quart", Kind.VOLUME, ("qts", "quart", "quarts", "US qt", "us qt")),
    "imp qt": ("imperial_quart", Kind.VOLUME, ("imperial qt", "UK qt", "uk qt")),
    "pt": ("pint_us", Kind.VOLUME, ("US pt",)),
    "gal": ("gallon", Kind.VOLUME, ("US gal", "gallon", "gallons")),
    "imp gal": ("imperial_gallon", Kind.VOLUME, ("UK gal", "imperial gal")),
    "mm": ("millimeter", Kind.LENGTH, ("MM",)),
    "cm": ("centimeter", Kind.LENGTH, ()),
    "m": ("meter", Kind.LENGTH, ("metre", "meter")),
    "µm": ("micrometer", Kind.LENGTH, ("μm", "um")),
    "in": ("inch", Kind.LENGTH, ("inch", "inches", '"')),
    "thou": ("thou", Kind.LENGTH, ("mil",)),
    "N·m": ("newton * meter", Kind.TORQUE, ("Nm", "N m", "N.m", "N*m", "N-m", "nm", "N⋅m", "newton metre")),
    "lbf·in": (
        "pound_force * inch",
        Kind.TORQUE,
        ("in-lb", "in lb", "in·lb", "inlb", "lb-in", "lb in", "lb·in", "lbf in", "lbf.in", "in lbf", "in-lbf"),
    ),
    "lbf·ft": (
        "12 * pound_force * inch",
        Kind.TORQUE,
        ("ft-lb", "ft lb", "ft·lb", "ftlb", "lb-ft", "lb ft", "lb·ft", "lbf ft", "lbf.ft", "ft lbf", "ft-lbf"),
    ),
    "kgf·m": ("kilogram_force * meter", Kind.TORQUE, ("kgf m", "kgm", "kg·m", "kg-m", "mkg", "kgf.m")),
    "N": ("newton", Kind.FORCE, ("newton",)),
    "kN": ("kilonewton", Kind.FORCE, ("kn",)),
    "lbf": ("pound_force", Kind.FORCE, ()),
    "kg": ("kilogram", Kind.MASS, ("kgs", "Kg")),
    "g": ("gram", Kind.MASS, ("gram",)),
    "lb": ("pound", Kind.MASS, ("lbs", "pound", "pounds")),
    "kPa": ("kilopascal", Kind.PRESSURE, ("kpa", "KPa")),
    "MPa": ("megapascal", Kind.PRESSURE, ()),
    "bar": ("bar", Kind.PRESSURE, ("Bar", "bars")),
    "psi": ("psi", Kind.PRESSURE, ("PSI", "lbf/in²")),
    "s": ("second", Kind.DURATION, ("sec", "second", "seconds")),
    "min": ("minute", Kind.DURATION, ("mins", "minute", "minutes")),
    "h": ("hour", Kind.DURATION, ("hr", "hour", "hours")),
    "km": ("kilometer", Kind.DISTANCE, ("Km", "kms")),
    "mi": ("mile", Kind.DISTANCE, ("mile", "miles")),
    "deg": ("degree", Kind.ANGLE, ("°", "degree", "degrees")),
    "%": ("percent", Kind.SHARE, ("percent", "per cent")),
}  # fmt: skip
INSIDE = {
    Kind.RESISTANCE: "ohm", Kind.VOLTAGE: "volt", Kind.CURRENT: "ampere", Kind.TEMPERATURE: "degC",
    Kind.TEMPERATURE_DIFFERENCE: "kelvin", Kind.VOLUME: "liter", Kind.LENGTH: "millimeter",
    Kind.TORQUE: "newton * meter", Kind.FORCE: "kilonewton", Kind.MASS: "kilogram", Kind.PRESSURE: "kilopascal",
    Kind.DURATION: "minute", Kind.DISTANCE: "kilometer", Kind.ANGLE: "degree",
    Kind.SHARE: "percent",
}  # fmt: skip
SPELLINGS = {spelling: unit for unit, (_, _, others) in UNITS.items() for spelling in (unit, *others)}
MILLI_OR_MEGA = {"mV", "mA", "mΩ", "MΩ", "mL", "MPa"}
NUMBER = r"[-+]?(?:\d+(?:[.,]\d+)?|[.,]\d+)(?:[eE][-+]?\d+)?"
OVERLOAD = re.compile(r"\b[O0]\.?L\.?\b|overload|\binf|∞", re.IGNORECASE)
PLUS_MINUS = re.compile(r"±|\+\s*/?\s*-")
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


@dataclass(frozen=True)
class Quantity:
    """One number with its unit. `value` is in the kind's unit inside; `unit` is printed again."""

    text: str
    kind: Kind
    unit: str
    value: float


@dataclass(frozen=True)
class Readings:
    """Several readings of one thing; `step` is the last decimal place that was written, inside unit."""

    text: str
    kind: Kind
    unit: str
    values: tuple[float, ...]
    step: float


@dataclass(frozen=True)
class Span:
    """What is allowed: two ends, or one."""

    text: str
    kind: Kind
    unit: str
    lower: float | None
    upper: float | None


@dataclass(frozen=True)
class Tolerance:
    """A value and how far it may be off; `half_width` is None when none was written."""

    text: str
    kind: Kind
    unit: str
    value: float
    half_width: float | None


@cache
def _registry() -> "pint.UnitRegistry[float]":
    import pint

    registry: pint.UnitRegistry[float] = pint.UnitRegistry(None, autoconvert_offset_to_baseunit=True)
    registry.load_definitions(DEFINITIONS.strip().splitlines())
    return registry


@cache
def _line(unit: str, *, difference: bool = False) -> tuple[float, float]:
    """Slope and offset from a written unit to the one inside: inside = slope * written + offset."""
    expression, kind, _ = UNITS[unit]
    if expression == INSIDE[kind]:
        return 1.0, 0.0  # and pint, slow to import, is not needed at all
    one = _registry().Quantity
    if kind is Kind.TEMPERATURE:
        # °C and °F are straight lines; a difference between two temperatures has no offset.
        zero, hundred = (float(one(at, expression).to(INSIDE[kind]).magnitude) for at in (32.0, 212.0))
        slope = (hundred - zero) / 180.0
        return slope, 0.0 if difference else zero - 32.0 * slope
    return float(_registry().parse_expression(f"1.0 * {expression}").to(INSIDE[kind]).magnitude), 0.0


def to_inside(value: float, unit: str, *, difference: bool = False) -> float:
    """Convert from a written unit to the kind's unit inside.

    Example:
        >>> round(to_inside(80, "lbf·ft"), 4), round(to_inside(4, "°F", difference=True), 3)
        (108.4654, 2.222)
    """
    slope, offset = _line(unit, difference=difference)
    return value * slope + offset


def to_unit(value: float, unit: str, *, difference: bool = False) -> float:
    """Convert from the kind's unit inside to a written unit; the way back of `to_inside`."""
    slope, offset = _line(unit, difference=difference)
    return (value - offset) / slope


def kind_of(unit: str) -> Kind:
    """The kind that a printed unit measures."""
    return UNITS[unit][1]


def show(value: float, unit: str, *, decimals: int | None = None, difference: bool = False) -> str:
    """Write a value, given in the unit inside, in the unit that the person wrote.

    Example:
        >>> show(90.687, "ohm", decimals=1)
        '90.7 ohm'
    """
    number = to_unit(value, unit, difference=difference)
    return f"{number:.{decimals}f} {unit}" if decimals is not None else f"{number:.4g} {unit}"


def completed(text: str, unit: str) -> str:
    """Return what was typed with the unit that its field shows, when none was typed.

    Example:
        >>> completed("4.5", "L"), completed("4.5 qt", "L"), completed("", "L")
        ('4.5 L', '4.5 qt', '')
    """
    bare = text and re.fullmatch(r"[\d\s.,;±+/−-]+", text)
    return f"{text} {unit}" if bare else text


def quantity(text: str, kind: Kind | None = None, *, unit: str | None = None) -> Quantity:
    """Read one number with its unit; `unit` is the one that the field shows already.

    Raises:
        UnitsError: No number, no unit, an unknown or an unfit one.

    Example:
        >>> quantity("12,5 mm").value, round(quantity("212 °F").value, 9)
        (12.5, 100.0)
    """
    numbers, written = _read(text, kind, unit)
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
    step = 10.0**-places * _line(written, difference=True)[0]
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
            one = quantity(text.strip()[len(word) :], kind, unit=unit)
            lower, upper = (one.value, None) if end == "lower" else (None, one.value)
            return Span(text, one.kind, one.unit, lower, upper)
    parts = BETWEEN.split(_clean(text), maxsplit=1)
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
    parts = PLUS_MINUS.split(_clean(text), maxsplit=1)
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
    for found, instead in (("\u2212", "-"), ("\u00a0", " "), ("\u202f", " "), ("\u2009", " "), ("⋅", "·")):
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
    if OVERLOAD.search(cleaned):
        raise UnitsError(
            f'"{text}" is the display\'s overload: an open circuit or a range too small, not a number. '
            "Try the next higher range; if it stays, the part is open."
        )
    if re.search(r"\d[.,]\d{3}[.,]\d|\d[.,]\d+[.,]\d", cleaned.replace("..", " ")):
        raise UnitsError(
            f'"{text}" has two separators in one number. Write thousands without one, such as "148300 km".'
        )
    written, numbers = _unit_and_rest(cleaned, text, kind, unit)
    if not numbers:
        raise UnitsError(f'"{text}" holds no number. Write one with its unit, such as "{example}".')
    fit = _fit(written, text, kind)
    if kind_of(fit) is Kind.DISTANCE and re.search(r"(?<![\d.,])[1-9]\d{0,2}[.,]\d{3}(?!\d)", cleaned):
        raise UnitsError(
            f'"{text}" may mean thousands or a fraction. Write thousands without a separator, such as "148300 km".'
        )
    return numbers, fit


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
