"""What things cost here: instruments that are not at hand, and fluids by the can, in the owner's own money."""

from collections.abc import Mapping
from typing import Any

from knowngood.acts.instrument_checks import Held
from knowngood.store.event import Event
from knowngood.store.folds import ToolboxState

# These begin the names of what has a price; the key of a kind of instrument or the name of a fluid follows.
INSTRUMENT, FLUID = "instrument:", "fluid:"


def price_of_instrument(toolbox: ToolboxState, preset_key: str) -> float | None:
    """Return what an instrument of a kind costs; None when nobody stated it.

    Args:
        toolbox: With what was stated.
        preset_key: Key of PRESETS.
    """
    found = [one for one in _standing(toolbox) if one.data["what"] == f"{INSTRUMENT}{preset_key}"]
    return float(found[-1].data["amount"]) if found else None


def cans_of(toolbox: ToolboxState, fluid: str) -> tuple[tuple[float, float], ...]:
    """Return the cans that a fluid is sold in, the smallest first: what each holds, and its price.

    Args:
        toolbox: With what was stated.
        fluid: Which one, as sheets write it.

    Returns:
        Pairs of size and price; none when nobody stated one. [L, owner's money]
    """
    found = [one.data for one in _standing(toolbox) if one.data["what"] == f"{FLUID}{fluid}"]
    return tuple(sorted((float(one["litre"]), float(one["amount"])) for one in found))


def priced(toolbox: ToolboxState) -> list[Held]:
    """Every price that stands, with all that was ever stated of the same thing and size of can."""
    rows = sorted((one.data for one in _standing(toolbox)), key=lambda one: (one["what"], one["litre"] or 0.0))
    return [
        Held((_words(one),), tuple(was.id for was in toolbox.prices if _thing(was.data) == _thing(one))) for one in rows
    ]


def prices_words(toolbox: ToolboxState) -> list[str]:
    """The same, in words only."""
    return [words for one in priced(toolbox) for words in one.words]


def _words(price: Mapping[str, Any]) -> str:
    return f"{price['words']}{', ' + price['pack'] if price['pack'] else ''}: {money_words(price['amount'])}"


def _thing(price: Mapping[str, Any]) -> tuple[str, float | None]:
    return price["what"], price["litre"]


def money_words(amount: float) -> str:
    """An amount with its cents, when it has any.

    Example:
        >>> money_words(15.0), money_words(12345.5)
        ('15', '12345.50')
    """
    return f"{amount:.0f}" if amount == round(amount) else f"{amount:.2f}"


def _standing(toolbox: ToolboxState) -> list[Event]:
    """The newest statement for each thing and size of can."""
    return list({_thing(one.data): one for one in toolbox.prices}.values())
