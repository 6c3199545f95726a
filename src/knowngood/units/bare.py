"""Numbers without a unit: what a field asks that has none, and money."""

import math
import re

from knowngood.units import NUMBER, THOUSANDS_OR_FRACTION, UnitsError, grouped


def number(text: str) -> float:
    """Read one number without a unit.

    Raises:
        UnitsError: It is none, or more than one.

    Example:
        >>> number("3 435"), number("0,95"), number("−2")
        (3435.0, 0.95, -2.0)
    """
    cleaned = grouped(text)
    found = float(cleaned.replace(",", ".")) if re.fullmatch(NUMBER, cleaned) else math.nan
    if not math.isfinite(found):
        raise UnitsError(f'"{text}" is not a number. Write digits only, such as 46 or 12.50.')
    return found


def money(text: str) -> float:
    """Read an amount of the owner's money.

    Raises:
        UnitsError: It is none, below zero, or may mean thousands or a fraction.

    Example:
        >>> money("1 250"), money("12,50"), money("1’250.50")
        (1250.0, 12.5, 1250.5)
    """
    try:
        found = number(text)
    except UnitsError:
        found = -1.0
    if found < 0.0 or THOUSANDS_OR_FRACTION.search(text):
        raise UnitsError(f'"{text}" is not an amount of money. Write digits only, from 0 up, such as 46 or 12.50.')
    return found
