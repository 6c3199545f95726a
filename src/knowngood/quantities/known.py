"""All quantities by name, in the groups that pages show."""

import shlex
from difflib import get_close_matches

from knowngood import units
from knowngood.engine.measurement.meters.bounds import bound_judged
from knowngood.quantities import basic, electrical, lengths, pressures, sensors, tilt, vessels, warmth
from knowngood.quantities.model import Quantity

GROUPS: dict[str, tuple[Quantity, ...]] = {
    "Electrical": basic.QUANTITIES + electrical.QUANTITIES,
    "Sensors": sensors.QUANTITIES,
    "Pressures": pressures.QUANTITIES,
    "Lengths and wear": lengths.QUANTITIES,
    "Temperature": warmth.QUANTITIES,
    "Volume": vessels.QUANTITIES,
    "Tilt": tilt.QUANTITIES,
}
QUANTITIES: dict[str, Quantity] = {one.name: one for rows in GROUPS.values() for one in rows}


def quantity_for(name: str, kind: units.Kind) -> Quantity | None:
    """Return the quantity of this name; with no name, what limits of this kind usually are. None when unknown."""
    return QUANTITIES.get(name) if name else usual_for(kind)


def usual_for(kind: units.Kind) -> Quantity:
    """Return what limits of this kind usually are."""
    return basic.WINDING if kind is units.Kind.RESISTANCE else basic.as_shown(kind)


def beyond_limits(name: str, kind: units.Kind | None) -> units.Beyond | None:
    """Return what says that limits of a quantity cannot be; None where nothing closer is known than its kind.

    Args:
        name: Of the quantity; "" takes what limits of this kind usually are.
        kind: Of the limits, where their unit is known.

    Example:
        >>> beyond_limits("disc_thickness", None)(21_985.0), beyond_limits("", units.Kind.RESISTANCE)
        (True, None)
    """
    quantity = QUANTITIES.get(name) if name or kind is None else usual_for(kind)
    bound = bound_judged(quantity.name) if quantity else None
    return bound.beyond if bound else None


def unknown_words(name: str) -> str:
    """What is said to a name that no quantity has."""
    near = get_close_matches(name, QUANTITIES, n=1)
    return f'"{name}" is not a quantity known here' + (f"; did you mean {near[0]}?" if near else ". The list has all.")


def asked_by(name: str) -> tuple[str, ...]:
    """Names of what a quantity asks; none of one that is unknown."""
    found = QUANTITIES.get(name)
    return tuple(ask.name for ask in found.asks) if found else ()


def asks_words(name: str) -> str:
    """What can be set for a quantity, in words."""
    if not name:
        return "Name the quantity first, such as --quantity winding_resistance."
    asks = asked_by(name)
    return f"{name} asks {', '.join(asks)}: write one of them, = and its value." if asks else f"{name} asks nothing."


def example_words(quantity: Quantity) -> dict[str, str]:
    """The example of a quantity by field, such as {"limits": "max 0.2 V", "read": "0.31 V"}."""
    words, found = shlex.split(quantity.example), {}
    for option, value in zip(words[::2], words[1::2], strict=True):
        name, set_to = value.split("=", 1) if option == "--set" else (option.removeprefix("--"), value)
        found[name] = set_to
    return found
