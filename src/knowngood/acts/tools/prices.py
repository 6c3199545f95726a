"""What things cost here, in the owner's own money: instruments, fluids by the can, parts of a sheet, an hour."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from knowngood import units
from knowngood.acts.tools.instrument_checks import Held
from knowngood.refusal import Refused, parsed
from knowngood.store.event import Event
from knowngood.store.folds import ToolboxState
from knowngood.units.bare import money
from knowngood.words import NO_BREAK, grouped

# Ours: nothing in a home garage costs more, in any currency that is likely; beyond it, a slip of the point.
MOST = 1e6


if TYPE_CHECKING:  # a verdict in the terminal needs no sheet, and sheets are slow to import
    from knowngood.sheet.model import Sheet

# These begin the names of what has a price; the key of a kind of instrument, the name of a fluid, or a sheet's id with
# the id of its part follows.
INSTRUMENT, FLUID, PART = "instrument:", "fluid:", "part:"
HOUR = "hour"
# Ours: a sum that was worked out is told in whole money from here on.
WHOLE_FROM = 10.0


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


@dataclass(frozen=True)
class Prices:
    """What the parts of one sheet and an hour of the person cost.

    Args:
        parts: By the part's id, for one piece each; those nobody priced are not among them. [owner's money]
        hour: What an hour of their own is worth to the person; None when nobody said. [owner's money/h]
    """

    parts: Mapping[str, float] = field(default_factory=dict)
    hour: float | None = None


NO_PRICES = Prices()


def part_key(sheet_id: str, part: str) -> str:
    """Return the name under which the price of a part of a sheet is kept.

    Example:
        >>> part_key("no_start", "relay")
        'part:no_start.relay'
    """
    return f"{PART}{sheet_id}.{part}"


def prices_of(toolbox: ToolboxState, sheet: "Sheet") -> Prices:
    """Return what stands of the parts of a sheet and of an hour."""
    stated = stated_prices(toolbox)
    keys = {part: part_key(sheet.id, part) for part in sheet.parts}
    return Prices({part: stated[key] for part, key in keys.items() if key in stated}, stated.get(HOUR))


def stated_prices(toolbox: ToolboxState) -> dict[str, float]:
    """Return what was stated last of everything that has a price, by its key; of cans the last one."""
    return {one.data["what"]: float(one.data["amount"]) for one in _standing(toolbox)}


def priced(toolbox: ToolboxState) -> list[Held]:
    """Every price that stands, with all that was ever stated of the same thing and size of can."""
    rows = sorted((one.data for one in _standing(toolbox)), key=lambda one: (one["what"], one["litre"] or 0.0))
    return [
        Held((_words(one),), tuple(was.id for was in toolbox.prices if _thing(was.data) == _thing(one))) for one in rows
    ]


def _words(price: Mapping[str, Any]) -> str:
    money = money_words(price["amount"])
    return f"{price['words']}, {price['pack']} for {money}" if price["pack"] else f"{price['words']}: {money}"


def _thing(price: Mapping[str, Any]) -> tuple[str, float | None]:
    return price["what"], price["litre"]


def money_words(amount: float) -> str:
    """An amount that somebody stated or paid, with its cents when it has any; its thousands stay on one line.

    Example:
        >>> money_words(15.0), money_words(12345.5).replace(NO_BREAK, "~")
        ('15', '12~345.50')
    """
    return units.signed(grouped(amount, 0 if amount == round(amount) else 2, NO_BREAK))


def expected_words(amount: float) -> str:
    """An amount that was worked out, such as what a plan costs on average: its cents would say nothing.

    Example:
        >>> expected_words(143.49), expected_words(4.62), expected_words(5.0)
        ('143', '4.6', '5')
    """
    if abs(amount) >= WHOLE_FROM or round(amount, 1) == round(amount):
        return money_words(round(amount))
    return units.signed(f"{amount:.1f}")


def _standing(toolbox: ToolboxState) -> list[Event]:
    """The newest statement for each thing and size of can."""
    return list({_thing(one.data): one for one in toolbox.prices}.values())


def amount_of(name: str, text: str) -> float:
    """Read a bare amount of the owner's money.

    Raises:
        Refused: It is none, or out of reach; the sentence stands at the field of that name.
    """
    amount = parsed(name, lambda: money(text))
    if not amount < MOST:
        raise Refused({name: f'"{text}" is not a price that a part can have. Write it from 0 up, such as 12.50.'})
    return amount
