"""Instruments as people describe them: a data sheet's line, to a meter and back."""

import re
from collections.abc import Mapping
from typing import Any

from knowngood import units
from knowngood.engine.measurement.instruments import Meter

EXAMPLE = "0.8 % + 3 digits, 0.1 ohm"
PERCENT = re.compile(r"([\d.,]+)\s*%")
DIGITS = re.compile(r"\+?\s*([\d.,]+)\s*(?:digits?|dgts?|d|counts?|lsd)\b", re.IGNORECASE)


def read_line(text: str, *, name: str) -> tuple[Meter, units.Kind]:
    """Read a data sheet's line such as "± (0.8 % + 3 digits), 0.1 ohm".

    Args:
        text: Percent of reading, digits, and the display's step with its unit; digits may be left out.
        name: What the owner calls the instrument.

    Returns:
        The meter, its step in the kind's unit inside; and the kind that it reads.

    Raises:
        UnitsError: No percent and no digits, or digits without a step.

    Example:
        >>> read_line("± (0.8 % + 3 digits), 0.1 ohm", name="blue")[0]
        Meter(name='blue', percent=0.8, digits=3.0, step=0.1, offset=0.0, assumed=False)
    """
    percent, digits = PERCENT.search(text), DIGITS.search(text)
    rest = re.sub(r"[±()]|\+-", " ", DIGITS.sub(" ", PERCENT.sub(" ", text))).strip(" ,;+")
    if not percent and not digits:
        raise units.UnitsError(
            f'"{text}" is not a data sheet\'s line. Write percent, digits and step, such as "{EXAMPLE}".'
        )
    if not rest:
        raise units.UnitsError(
            f'"{text}" does not say how fine the display is. Add one step of it, such as "{EXAMPLE}".'
        )
    step = units.quantity(rest)
    if step.value <= 0.0:
        raise units.UnitsError(f'"{rest}" is no step of a display. Write one above zero, such as "{EXAMPLE}".')
    return Meter(name, _number(percent), _number(digits), step.value), step.kind


def _number(found: re.Match[str] | None) -> float:
    return float(found.group(1).replace(",", ".")) if found else 0.0


def meter_json(meter: Meter) -> dict[str, Any]:
    """The instrument as an event keeps it."""
    return dict(vars(meter))


def from_json(data: Mapping[str, Any]) -> Meter:
    """The instrument from the toolbox's event."""
    return Meter(data["name"], data["percent"], data["digits"], data["step"], data.get("offset", 0.0))
