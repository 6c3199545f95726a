"""The units that people write: their kinds, spellings and factors, with pint behind them."""

import re
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
    DENSITY = ("kg/L", "a density", "1.28 kg/L")

    def __init__(self, unit: str, words: str, example: str) -> None:
        self.unit, self.words, self.example = unit, words, example


class UnitsError(ValueError):
    """What was written cannot be read; the text is the sentence for the person."""


# Our own short list for pint: reading its full one costs more than a verdict does. Exact definitions.
# Source: NIST_SP_811, appendix B (inch, pound-force, US gallon, psi; conventional columns of mercury and of water); the
# imperial gallon is 4.54609 L by definition.
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
meter_of_mercury = 13595.1 * 9.80665 * pascal
meter_of_water = 1000 * 9.80665 * pascal
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
    "mbar": ("millibar", Kind.PRESSURE, ("hPa",)),
    "psi": ("psi", Kind.PRESSURE, ("PSI", "lbf/in²")),
    "mmHg": ("0.001 * meter_of_mercury", Kind.PRESSURE, ("mm Hg", "mm of mercury")),
    "inHg": (
        "0.0254 * meter_of_mercury",
        Kind.PRESSURE,
        ("in Hg", "in. Hg", "in.Hg", '"Hg', '" Hg', "inches Hg", "in of mercury", "inches of mercury"),
    ),
    "inH₂O": ("0.0254 * meter_of_water", Kind.PRESSURE, ("in H₂O", "inWC", "in of water", "inches of water")),
    "s": ("second", Kind.DURATION, ("sec", "second", "seconds")),
    "min": ("minute", Kind.DURATION, ("mins", "minute", "minutes")),
    "h": ("hour", Kind.DURATION, ("hr", "hour", "hours")),
    "km": ("kilometer", Kind.DISTANCE, ("Km", "kms")),
    "mi": ("mile", Kind.DISTANCE, ("mile", "miles")),
    "deg": ("degree", Kind.ANGLE, ("°", "degree", "degrees")),
    "%": ("percent", Kind.SHARE, ("percent", "per cent")),
    "kg/L": ("kilogram / liter", Kind.DENSITY, ("kg/l", "kg/dm³", "kg per litre")),
    "g/mL": ("gram / milliliter", Kind.DENSITY, ("g/ml",)),
    "g/cm³": ("gram / centimeter ** 3", Kind.DENSITY, ("g/cc", "g/ccm")),
    "kg/m³": ("kilogram / meter ** 3", Kind.DENSITY, ()),
    # Relative to water, whose litre weighs a kilogram within 0.4 % where anyone reads a hydrometer.
    "SG": ("kilogram / liter", Kind.DENSITY, ("sg", "S.G.", "sp gr", "sp. gr.", "specific gravity")),
}  # fmt: skip
INSIDE = {
    Kind.RESISTANCE: "ohm", Kind.VOLTAGE: "volt", Kind.CURRENT: "ampere", Kind.TEMPERATURE: "degC",
    Kind.TEMPERATURE_DIFFERENCE: "kelvin", Kind.VOLUME: "liter", Kind.LENGTH: "millimeter",
    Kind.TORQUE: "newton * meter", Kind.FORCE: "kilonewton", Kind.MASS: "kilogram", Kind.PRESSURE: "kilopascal",
    Kind.DURATION: "minute", Kind.DISTANCE: "kilometer", Kind.ANGLE: "degree",
    Kind.SHARE: "percent", Kind.DENSITY: "kilogram / liter",
}  # fmt: skip
SPELLINGS = {spelling: unit for unit, (_, _, others) in UNITS.items() for spelling in (unit, *others)}
MINUS = re.compile(r"(?<!\w)-(?=[\d.])|(?<=\de)-(?=\d)")
MILLI_OR_MEGA = {"mV", "mA", "mΩ", "MΩ", "mL", "MPa", "mbar"}

# What an overload means; any other kind is read by something that reaches further.
OVERLOADED = {
    Kind.RESISTANCE: "an open circuit or a range too small, not a number. Try the next higher range; if it stays, the "
    "part is open.",
    Kind.VOLTAGE: "more than this range shows, not a number. Take the next higher range and read again.",
    Kind.CURRENT: "more than this range shows, not a number. Switch off, change to the next higher range and its "
    "socket, and read again.",
    Kind.TEMPERATURE: "hotter or colder than it can show, or a probe that is unplugged or broken. Plug the probe in, "
    "or take a thermometer that reaches further.",
}
OTHERWISE_OVERLOADED = "more than it can show, not a number. Read it with an instrument that reaches further."


@cache
def _registry() -> "pint.UnitRegistry[float]":
    import pint

    registry: pint.UnitRegistry[float] = pint.UnitRegistry(None, autoconvert_offset_to_baseunit=True)
    registry.load_definitions(DEFINITIONS.strip().splitlines())
    return registry


@cache
def slope_and_offset(unit: str, *, difference: bool = False) -> tuple[float, float]:
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
    slope, offset = slope_and_offset(unit, difference=difference)
    return value * slope + offset


def to_unit(value: float, unit: str, *, difference: bool = False) -> float:
    """Convert from the kind's unit inside to a written unit; the way back of `to_inside`."""
    slope, offset = slope_and_offset(unit, difference=difference)
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
    return signed(f"{number:.{decimals}f} {unit}" if decimals is not None else f"{number:.4g} {unit}")


def signed(text: str) -> str:
    """Return a text with a minus sign in place of a hyphen before a number, as every value is printed that people read.

    Example:
        >>> signed("-40"), signed("1e-05 at -5 °C, cold-soaked on 2026-11-21")
        ('−40', '1e−05 at −5 °C, cold-soaked on 2026-11-21')
    """
    return MINUS.sub("−", text)


def between(low: str, high: str) -> str:
    """Return a range as people read it; beside a minus sign a dash would be taken for another.

    Example:
        >>> between("35", "45"), between("−10", "−5")
        ('35–45', '−10 to −5')
    """
    return f"{low} to {high}" if "−" in low + high else f"{low}–{high}"
