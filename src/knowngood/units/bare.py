"""Numbers without a unit: what a field asks that has none, and money."""

import math
import re
from collections.abc import Callable

from knowngood.units import NUMBER, Undecided, UnitsError, grouped, nothing_is_beyond
from knowngood.units.numerals import clean, decide, refuse_leader_dots


def number(text: str, *, beyond: Callable[[float], bool] = nothing_is_beyond) -> float:
    """Read one number without a unit.

    Args:
        text: As typed.
        beyond: Says that no such number can be.

    Raises:
        UnitsError: It is none, or more than one; thousands or a fraction.

    Example:
        >>> number("3 435"), number("0,95"), number("−2")
        (3435.0, 0.95, -2.0)
    """
    return _number(text, beyond, points_too=False)


def _number(text: str, beyond: Callable[[float], bool], *, points_too: bool) -> float:
    refuse_leader_dots(clean(text))
    cleaned, found = grouped(text), math.nan
    if re.fullmatch(NUMBER, cleaned):
        (only,) = decide([cleaned], text, beyond=beyond, points_too=points_too)
        found = float(only.plain)
    if not math.isfinite(found):
        raise UnitsError(f'"{text}" is not a number. Write digits only, such as 46 or 12.50.')
    return found


def money(text: str) -> float:
    """Read an amount of the owner's money; nobody writes thousandths of it, so a point may set thousands apart too.

    Raises:
        UnitsError: It is none, below zero, or may mean thousands or a fraction.

    Example:
        >>> money("1 250"), money("12,50"), money("1’250.50"), money("1.250,50")
        (1250.0, 12.5, 1250.5, 1250.5)
    """
    try:
        found = _number(text, nothing_is_beyond, points_too=True)
    except Undecided:
        raise
    except UnitsError:
        found = -1.0
    if found < 0.0:
        raise UnitsError(f'"{text}" is not an amount of money. Write digits only, from 0 up, such as 46 or 12.50.')
    return found
