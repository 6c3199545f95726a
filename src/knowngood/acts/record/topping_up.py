"""Entries of a fluid topped up."""

from datetime import date

from knowngood import units
from knowngood.acts.fluids.topping_up import NO_MARKS, TOPPED, marks_known
from knowngood.acts.job.garage import Garage
from knowngood.acts.record.entries import Draft, Entry, entry_day
from knowngood.refusal import Refused, parsed
from knowngood.sheet.circuits import Fluid
from knowngood.words import km_words

# Ours: what no top-up, no use per 1000 km, no odometer and no level reaches; beyond it, a slip of the point.
MOST_L, MOST_USE, MOST_KM = 20.0, 10.0, 3e6
MOST_SHARE = 200.0


def topped_up(garage: Garage, entry: Entry) -> list[Draft]:
    """A fluid topped up, or its level only looked at, with what the odometer showed."""
    fluid = entry.text("fluid") or Fluid.ENGINE_OIL.value
    if fluid not in tuple(one.value for one in TOPPED):
        raise Refused({"fluid": f'"{fluid}" is nothing that is topped up. Take {", ".join(TOPPED)}.'})
    km = _km(entry)
    numbers = {
        "litre": _volume(entry, "amount", "how much went in, such as 0.5 L; 0 when you only looked"),
        "km": km,
        **_below(entry),
        "marks_l": _optional(entry, "marks"),
        "most": _most(entry),
    }
    day = _day(garage, entry)
    seen = [one for one in garage.vehicle(entry.of).kept("topped_up") if one.data["fluid"] == fluid]
    if any(one.data["km"] == km for one in seen):
        words = f"There is an entry at {km_words(km)} already. Put them together, or check the odometer."
        raise Refused({"odometer": words})
    if numbers["below_share"] and numbers["marks_l"] is None and marks_known(fluid, seen) is None:
        raise Refused({"marks": f"{NO_MARKS} Write how much fits between them, such as 0.3 L."})
    return [Draft("topped_up", {"fluid": fluid, **numbers, "date": day, "typed": _typed(entry)})]


def _volume(entry: Entry, name: str, what: str) -> float:
    typed = units.completed(entry.needed(name, what), "L")
    litre = parsed(name, lambda: units.quantity(typed, units.Kind.VOLUME, unit="L").value)
    if not 0.0 <= litre <= MOST_L:
        raise Refused({name: f'"{typed}" is no top-up. Write from 0 to {MOST_L:g} L, such as 0.5 L.'})
    return litre


def _optional(entry: Entry, name: str) -> float | None:
    return _volume(entry, name, "") if entry.text(name) else None


def _below(entry: Entry) -> dict[str, float | None]:
    """How far below the upper mark it stood: in litres, or in percent of the way down to the lower one."""
    typed = entry.text("below")
    if "%" not in typed:
        return {"below_l": _optional(entry, "below"), "below_share": None}
    percent = parsed("below", lambda: units.quantity(typed, units.Kind.SHARE).value)
    if not 0.0 <= percent <= MOST_SHARE:
        raise Refused({"below": f'"{typed}" is no level. Write 0 % at the upper mark, 100 % at the lower one.'})
    return {"below_l": None, "below_share": percent / 100.0}


def _km(entry: Entry) -> float:
    typed = units.completed(entry.needed("odometer", "what the odometer shows, such as 148300"), "km")
    km = parsed("odometer", lambda: units.quantity(typed, units.Kind.DISTANCE, unit="km").value)
    if not 0.0 <= km <= MOST_KM:
        raise Refused({"odometer": f'"{typed}" is no odometer. Write what it shows, such as 148300.'})
    return km


def _most(entry: Entry) -> float | None:
    """What the manual allows, in litres per 1000 km."""
    typed = entry.text("most").removeprefix("max").strip()
    if not typed:
        return None
    litre = units.completed(typed.removesuffix("per 1000 km").strip(), "L")
    most = parsed("most", lambda: units.quantity(litre, units.Kind.VOLUME, unit="L").value)
    if not 0.0 < most <= MOST_USE:
        raise Refused({"most": f'"{typed}" is no use per 1000 km. Write litres above zero, such as 0.5.'})
    return most


def _day(garage: Garage, entry: Entry) -> str:
    """The day that was typed, or that of the entry."""
    typed = entry.text("date")
    if not typed:
        return entry_day(garage, entry).isoformat()
    try:
        return date.fromisoformat(typed).isoformat()
    except ValueError:
        raise Refused({"date": f'"{typed}" is not a day. Write it as year-month-day, such as 2026-11-21.'}) from None


def _typed(entry: Entry) -> str:
    return " at ".join((units.completed(entry.text("amount"), "L"), units.completed(entry.text("odometer"), "km")))
