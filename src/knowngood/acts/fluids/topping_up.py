"""Topping up over the years: what a vehicle uses per 1000 km, whether that is much, and when to look again."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from knowngood import units
from knowngood.acts.job.garage import Garage
from knowngood.acts.readings.values import decimals_for
from knowngood.acts.record.entries import Draft, Entry
from knowngood.acts.today import entry_day
from knowngood.engine.fluids.carried import stated
from knowngood.engine.fluids.topping import TopUp, Use, next_top_up, use
from knowngood.engine.judgement import Band, Estimate, Verdict, combine, judge, percent
from knowngood.refusal import Refused, parsed
from knowngood.sheet.circuits import Fluid
from knowngood.store.event import Event
from knowngood.store.folds import VehicleState
from knowngood.words import capital, km_words

K = units.Kind
# What people top up; fuel is no top-up, and a refrigerant is no home mechanic's.
TOPPED = (
    Fluid.ENGINE_OIL, Fluid.COOLANT, Fluid.BRAKE_FLUID, Fluid.STEERING_FLUID, Fluid.GEARBOX_OIL, Fluid.GEAR_OIL,
)  # fmt: skip
# Ours: between the two marks of a stick, when nobody wrote it; how far that and a stated distance may be off. [L]
MARKS_L, MARKS_HALF_L, STATED_HALF_L = 1.0, 0.4, 0.1
MOST_L, MOST_USE, MOST_KM = 20.0, 10.0, 3e6
MOST_SHARE = 200.0
NO_MARKS = "How far below the mark is a share of the way between the two marks."
USED_UP = {
    Fluid.BRAKE_FLUID: "Brake fluid is not used up: its level falls as the pads wear, or it leaks. Look for wet before "
    "you drive.",
    Fluid.COOLANT: "A closed cooling system uses next to nothing: find where it goes.",
}


@dataclass(frozen=True)
class Topped:
    """One fluid of a vehicle over the years.

    Args:
        fluid: Which one.
        events: Each time, oldest first.
        use: What is used; None where that cannot be said yet.
        words: What it comes to, for the mechanic.
    """

    fluid: Fluid
    events: tuple[Event, ...]
    use: Use | None
    words: str


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
    if numbers["below_share"] and numbers["marks_l"] is None and _marks(fluid, seen) is None:
        raise Refused({"marks": f"{NO_MARKS} Write how much fits between them, such as 0.3 L."})
    return [Draft("topped_up", {"fluid": fluid, **numbers, "date": day, "typed": _typed(entry)})]


def topped(vehicle: VehicleState) -> list[Topped]:
    """Return each fluid that was ever topped up, with what is used of it."""
    events = vehicle.kept("topped_up")
    return [_one(fluid, found) for fluid in TOPPED if (found := [one for one in events if one.data["fluid"] == fluid])]


def _one(fluid: Fluid, events: Iterable[Event]) -> Topped:
    ordered = tuple(sorted(events, key=lambda one: float(one.data["km"])))
    try:
        found = _use(ordered, _marks(fluid, ordered))
    except ValueError as refused:
        return Topped(fluid, ordered, None, capital(str(refused)))
    rows = [_use_words(found), _allowed_words(found, ordered), _next_words(found, ordered, _marks(fluid, ordered))]
    return Topped(fluid, ordered, found, " ".join(one for one in [*rows, USED_UP.get(fluid, "")] if one))


@dataclass(frozen=True)
class Marks:
    """How much fits between the two marks, and how far that may be off. [L]"""

    litre: float
    half: float
    assumed: bool


def _marks(fluid: str, events: Sequence[Event]) -> Marks | None:
    """The newest word on it; a stick's usual one where nobody wrote it, None of any other fluid."""
    litre = _newest(events, "marks_l")
    if litre is not None:
        return Marks(litre, STATED_HALF_L, assumed=False)
    return Marks(MARKS_L, MARKS_HALF_L, assumed=True) if fluid == Fluid.ENGINE_OIL else None


def _use(ordered: Sequence[Event], marks: Marks | None) -> Use:
    """What is used; a level that was read as a share of the way between the marks is off as that is."""
    by_share = any(one.data.get("below_share") for one in (ordered[0], ordered[-1]))
    levels = [TopUp(one.data["km"], one.data["litre"], _below_l(one, marks)) for one in ordered]
    return use(levels, marks_half_share=marks.half / marks.litre if by_share and marks else 0.0)


def _below_l(event: Event, marks: Marks | None) -> float | None:
    """How far below the upper mark it stood before pouring; None when nobody looked. [L]"""
    share, litre = event.data.get("below_share"), event.data["below_l"]
    if share is None:
        return None if litre is None else float(litre)
    if not share:
        return 0.0
    if marks is None:
        raise ValueError(f"{NO_MARKS} Write that at the next entry.")
    return float(share) * marks.litre


# --- in words ---------------------------------------------------------------------------------------------------------


def _use_words(found: Use) -> str:
    low, high = found.per_1000_km.interval(0.95)
    half = 0.5 * (high - low)
    places = decimals_for(half)
    size = f"{found.per_1000_km.value:.{places}f} ± {half:.{places}f} L"
    return f"{size} per 1000 km, from {found.times} entries over {km_words(found.km)}."


def _allowed_words(found: Use, ordered: tuple[Event, ...]) -> str:
    """Whether that is more than the manual allows, where somebody typed what it does."""
    most = _newest(ordered, "most")
    if most is None:
        return ""
    told = judge(found.per_1000_km, Band(None, most, found.per_1000_km.unit))
    inside = told.probability_inside
    match told.verdict:
        case Verdict.WITHIN:
            return f"Within the manual's {most:g} L ({percent(inside)})."
        case Verdict.OUT:
            return f"More than the manual's {most:g} L ({percent(1.0 - inside)}): look for a leak, then for blue smoke."
        case Verdict.CANT_TELL:
            leans = f"leans {'within' if inside >= 0.5 else 'over'} the manual's {most:g} L"
            return f"Can't tell yet, {leans} ({percent(max(inside, 1.0 - inside))}): more kilometres would say."


def _next_words(found: Use, ordered: tuple[Event, ...], marks: Marks | None) -> str:
    """When to look at the level again; nothing where nothing is known of the marks."""
    if marks is None:
        return ""
    try:
        due = next_top_up(found.per_1000_km, _room(ordered[-1], marks))
    except ValueError as refused:
        return capital(str(refused))
    after = round(due.look_after_km, -2)
    last = float(ordered[-1].data["km"])
    if after < 100.0:
        return "Look at the level now."
    at = f"Look at the level at {km_words(last + after)}, {km_words(after)} after the last time"
    return f"{at} (1 time out of 10 it is due before)."


def _room(last: Event, marks: Marks) -> Estimate:
    """From the level after the last entry down to the lower mark. [L]"""
    between = stated("marks", marks.litre, marks.half, unit="L", assumed=marks.assumed, name="between the marks")
    share, below = last.data.get("below_share"), last.data["below_l"]
    if share is not None:
        return combine([(1.0 - share, between)], offset=last.data["litre"])
    return combine([(1.0, between)], offset=0.0 if below is None else last.data["litre"] - below)


def _newest(ordered: Sequence[Event], name: str) -> float | None:
    """The newest word on something that need not be said each time."""
    said = [one.data[name] for one in ordered if one.data[name] is not None]
    return float(said[-1]) if said else None


def entry_words(event: Event) -> str:
    """One entry in a line."""
    data = event.data
    litre = f"{data['litre']:g} L in" if data["litre"] else "level looked at"
    return f"{data['date']}, at {km_words(data['km'])}: {litre}"


# --- what was typed ---------------------------------------------------------------------------------------------------


def _volume(entry: Entry, name: str, what: str) -> float:
    typed = units.completed(entry.needed(name, what), "L")
    litre = parsed(name, lambda: units.quantity(typed, K.VOLUME, unit="L").value)
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
    percent = parsed("below", lambda: units.quantity(typed, K.SHARE).value)
    if not 0.0 <= percent <= MOST_SHARE:
        raise Refused({"below": f'"{typed}" is no level. Write 0 % at the upper mark, 100 % at the lower one.'})
    return {"below_l": None, "below_share": percent / 100.0}


def _km(entry: Entry) -> float:
    typed = units.completed(entry.needed("odometer", "what the odometer shows, such as 148300"), "km")
    km = parsed("odometer", lambda: units.quantity(typed, K.DISTANCE, unit="km").value)
    if not 0.0 <= km <= MOST_KM:
        raise Refused({"odometer": f'"{typed}" is no odometer. Write what it shows, such as 148300.'})
    return km


def _most(entry: Entry) -> float | None:
    """What the manual allows, in litres per 1000 km."""
    typed = entry.text("most").removeprefix("max").strip()
    if not typed:
        return None
    litre = units.completed(typed.removesuffix("per 1000 km").strip(), "L")
    most = parsed("most", lambda: units.quantity(litre, K.VOLUME, unit="L").value)
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
