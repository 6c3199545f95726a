"""Temperatures with the times at which they were read: "0 min 62 °C, 5 min 55 °C", to minutes and °C."""

import re

from knowngood.units import NUMBER, Kind, UnitsError, quantity
from knowngood.units.numerals import UNSIGNED, clean

Moment = tuple[float, float]
# A comma between digits is a decimal comma; after a temperature's unit the next time may begin without any sign.
APART = re.compile(r"[;\n]|,(?!\d)|(?<!\d),|(?<=[CF℃℉]) (?=\d)|(?<=°[cf]) (?=\d)")
# Of one part, in which single spaces are left.
MOMENT = re.compile(
    rf"(?:(?P<minutes>\d{{1,5}}):(?P<seconds>[0-5]\d)|(?P<time>{UNSIGNED}) ?(?P<of_time>[^\W\d]+\.?)?)"
    rf"(?: at\b| ?[:=])?(?: |(?<=[^\d ]))"
    rf"(?P<degrees>{NUMBER}) ?(?P<of_degrees>[°º˚℃℉]? ?[^\W\d]*)"
)
SUCH_AS = '"0 min 62 °C, 5 min 55 °C"'


def timed(text: str) -> tuple[Moment, ...]:
    """Read temperatures, each after the time at which it was read.

    A time is written as "5 min", "90 s" or "1:30", which is minutes and seconds; where a unit is left out, that of
    the one before holds, minutes and °C at first.

    Args:
        text: As typed, the earliest first, with a comma and a space between.

    Returns:
        Minutes and temperature of each. [min, °C]

    Raises:
        UnitsError: Nothing, something that is no time with a temperature, or times that do not increase.

    Example:
        >>> timed("0 min 62 °C, 90 s 58,5 °C, 5:00 55")
        ((0.0, 62.0), (1.5, 58.5), (5.0, 55.0))
    """
    cleaned = "\n".join(clean(line) for line in text.splitlines()).strip(" ,;\n").rstrip(".")
    if not cleaned:
        raise UnitsError(f"Nothing is written here. Write times and temperatures, such as {SUCH_AS}.")
    of_time, of_degrees = Kind.DURATION.unit, Kind.TEMPERATURE.unit
    found: list[Moment] = []
    before = ""
    for part in filter(None, (one.strip() for one in APART.split(cleaned))):
        match = MOMENT.fullmatch(part)
        if match is None:
            raise UnitsError(
                f'"{part}" is no time with its temperature. Write both, and a comma before the next, such as {SUCH_AS}.'
            )
        of_time, of_degrees = match["of_time"] or of_time, match["of_degrees"].strip() or of_degrees
        moment = _minutes(match, of_time), quantity(f"{match['degrees']} {of_degrees}", Kind.TEMPERATURE).value
        if found and moment[0] <= found[-1][0]:
            raise UnitsError(
                f'"{part}" is not later than "{before}". Write the earliest first, each with the time since the first, '
                f"such as {SUCH_AS}."
            )
        found.append(moment)
        before = part
    return tuple(found)


def _minutes(match: re.Match[str], unit: str) -> float:
    if match["minutes"]:
        return float(match["minutes"]) + float(match["seconds"]) / 60.0
    return quantity(f"{match['time']} {unit}", Kind.DURATION).value
