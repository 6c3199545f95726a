"""All quantities by name."""

from difflib import get_close_matches

from knowngood import units
from knowngood.acts.quantities import basic
from knowngood.acts.quantities.model import Quantity

QUANTITIES: dict[str, Quantity] = {one.name: one for room in (basic,) for one in room.QUANTITIES}


def quantity_for(name: str, kind: units.Kind) -> Quantity | None:
    """Return the quantity of this name; with no name, what limits of this kind usually are. None when unknown."""
    if name:
        return QUANTITIES.get(name)
    return basic.WINDING if kind is units.Kind.RESISTANCE else basic.as_shown(kind)


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
