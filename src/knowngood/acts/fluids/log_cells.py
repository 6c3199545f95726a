"""One cell of a log: a number with or without its unit, or a moment on a clock."""

import math
import re
from dataclasses import dataclass
from datetime import datetime

NUMBER = re.compile(r"([+-]?\d+(?:[.,]\d+)?(?:e[+-]?\d+)?)\s*([^\d\s].*)?", re.IGNORECASE)
# A date may stand before the time; of a date that is not year first, only the time of day is read.
CLOCK = re.compile(
    r"(?:\d{1,4}[./-]\d{1,2}[./-]\d{1,4}[ T]+)?(\d{1,3}):(\d{2})(?::(\d{2}(?:[.,]\d+)?))?\s*([ap]\.?m\.?)?",
    re.IGNORECASE,
)
GAPS = frozenset({"", "-", "--", "---", "nan", "n/a", "#n/a", "na", "null", "none"})
# By definition. [s]
SECONDS = {
    **dict.fromkeys(("s", "sec", "secs", "second", "seconds"), 1.0),
    **dict.fromkeys(("ms", "msec", "millisecond", "milliseconds"), 1e-3),
    **dict.fromkeys(("min", "mins", "minute", "minutes"), 60.0),
    **dict.fromkeys(("h", "hr", "hrs", "hour", "hours"), 3600.0),
}
DEGREES = {
    **dict.fromkeys(("c", "°c", "ºc", "degc", "deg c", "celsius", "℃"), "°C"),
    **dict.fromkeys(("f", "°f", "ºf", "degf", "deg f", "fahrenheit", "℉"), "°F"),
}
DAY_S = 86_400.0  # by definition


@dataclass(frozen=True)
class Number:
    """A number as written: its value, decimals, and what stands behind it."""

    value: float
    decimals: int
    unit: str


@dataclass(frozen=True)
class Clock:
    """A moment on a clock.

    Args:
        seconds: Since midnight, or since 1970 when a date was read too. [s]
        dated: With its date.
        parts: How many numbers stood between colons: two may be hours and minutes, or minutes and seconds.
    """

    seconds: float
    dated: bool
    parts: int


def is_gap(cell: str) -> bool:
    """Whether nothing was read."""
    return cell.strip().lower() in GAPS


def number(cell: str) -> Number | None:
    """Return the number in a cell; None when it holds another thing.

    Example:
        >>> number("20,5 °C")
        Number(value=20.5, decimals=1, unit='°c')
    """
    found = NUMBER.fullmatch(cell.strip().replace("−", "-"))
    if not found:
        return None
    digits, unit = found[1].replace(",", "."), (found[2] or "").strip().lower()
    if (unit and unit not in SECONDS and unit not in DEGREES) or not math.isfinite(float(digits)):
        return None
    decimals = len(digits.lower().split("e")[0].partition(".")[2])
    return Number(float(digits), decimals, unit)


def numeral(cell: str) -> str:
    """Return a number's digits and marks as they stand in a cell; "" when it holds another thing.

    Example:
        >>> numeral("1,250 °C"), numeral("12:30")
        ('1,250', '')
    """
    found = NUMBER.fullmatch(cell.strip().replace("−", "-"))
    return found[1] if found and number(cell) else ""


def clock(cell: str) -> Clock | None:
    """Return the moment in a cell; None when it holds another thing.

    Example:
        >>> clock("12:03:10 am").seconds
        190.0
    """
    text = cell.strip()
    if re.match(r"\d{4}-\d{2}-\d{2}[ T]", text):
        try:
            moment = datetime.fromisoformat(text.replace(",", "."))
        except ValueError:
            return None
        midnight = datetime(1970, 1, 1, tzinfo=moment.tzinfo)
        return Clock((moment - midnight).total_seconds(), True, 3)
    found = CLOCK.fullmatch(text)
    if not found:
        return None
    hours, minutes, seconds = int(found[1]), int(found[2]), float((found[3] or "0").replace(",", "."))
    half = (found[4] or "").lower().replace(".", "")
    if minutes > 59 or seconds >= 60.0 or (half and not 1 <= hours <= 12):
        return None
    if half:
        hours = hours % 12 + (12 if half == "pm" else 0)
    return Clock(3600.0 * hours + 60.0 * minutes + seconds, False, 3 if found[3] or half else 2)


def unit_in(name: str, units: dict[str, str] | dict[str, float]) -> str:
    """Return the unit that a column's name holds, as the table writes it; nothing when it holds none.

    Example:
        >>> unit_in("Oil temp [°F]", DEGREES), unit_in("elapsed_min", SECONDS), unit_in("Time", SECONDS)
        ('°f', 'min', '')
    """
    words = re.split(r"[^\w°º℃℉]+|_", name.lower())
    return next((word for word in reversed(words) if word in units), "")
