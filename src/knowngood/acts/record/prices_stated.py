"""Prices and payments as they are typed: what a price can be stated for, and money as a bare number."""

from collections.abc import Mapping
from typing import Any

from knowngood import units
from knowngood.acts.job.garage import Garage
from knowngood.acts.record.entries import Entry
from knowngood.acts.tools.prices import FLUID, HOUR, INSTRUMENT, amount_of, part_key
from knowngood.engine.fluids.cans import LEAST_L, MOST_L
from knowngood.engine.measurement.meters.classes import PRESETS
from knowngood.refusal import Refused, parsed
from knowngood.sheet.model import Fluid

# What a price can be stated for in any garage, and what pages call it.
PRICED: Mapping[str, str] = {
    HOUR: "An hour of your own time",
    **{f"{INSTRUMENT}{key}": preset.title for key, preset in PRESETS.items()},
    **{f"{FLUID}{fluid.value}": fluid.value.capitalize() for fluid in Fluid},
}


def can_be_priced(garage: Garage) -> dict[str, str]:
    """Return what a price can be stated for, and what pages call it: the parts of open jobs first."""
    parts = {
        part_key(job.sheet.id, key): part.name
        for job in garage.open_jobs().values()
        for key, part in job.sheet.parts.items()
    }
    return {**parts, **PRICED}


def stated_data(garage: Garage, entry: Entry) -> dict[str, Any]:
    """What the toolbox keeps of a price.

    Raises:
        Refused: A sentence at each field that cannot be used.
    """
    what = entry.needed("what", "what the price is for")
    known = PRICED if what in PRICED else can_be_priced(garage)
    if what not in known:
        words = "Choose a part of an open job, an hour of your own, an instrument or a fluid."
        raise Refused({"what": f'"{what}" is nothing that has a price here. {words}'})
    pack, title = units.completed(entry.text("pack"), "L") or None, known[what]
    return {"what": what, "words": title, "pack": pack, "litre": _litre(what, pack, title), "amount": paid(entry)}


def _litre(what: str, pack: str | None, title: str) -> float | None:
    if not what.startswith(FLUID):
        if pack:
            raise Refused({"pack": f'"{pack}" is the size of a can, and "{title}" is no fluid. Empty this field.'})
        return None
    if pack is None:
        raise Refused({"pack": "A fluid is bought by the can. Write what one holds, such as 1 L."})
    litre = parsed("pack", lambda: units.quantity(pack, units.Kind.VOLUME, unit="L")).value
    if not litre > 0.0:
        raise Refused({"pack": f'"{pack}" is no can. Write what one holds, above zero, such as 1 L.'})
    if not LEAST_L <= litre <= MOST_L:
        raise Refused({"pack": f'"{pack}" is no can; one holds 0.001 to {MOST_L:g} L. Check the number and its unit.'})
    return litre


def paid(entry: Entry) -> float:
    """Read the field `amount` as money."""
    return amount_of("amount", entry.needed("amount", "what it cost, such as 46 or 12.50"))
