"""Topping up over the years: what a vehicle uses per 1000 km, whether that is much, and when to look again."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from knowngood import units
from knowngood.acts.readings.values import decimals_for
from knowngood.engine.fluids.carried import stated
from knowngood.engine.fluids.topping import TopUp, Use, next_top_up, use
from knowngood.engine.judgement import Band, Estimate, Verdict, combine, judge, percent
from knowngood.sheet.circuits import Fluid
from knowngood.store.event import Event
from knowngood.store.folds import VehicleState
from knowngood.words import capital, km_words

# What people top up; fuel is no top-up, and a refrigerant is no home mechanic's.
TOPPED = (
    Fluid.ENGINE_OIL, Fluid.COOLANT, Fluid.BRAKE_FLUID, Fluid.STEERING_FLUID, Fluid.GEARBOX_OIL, Fluid.GEAR_OIL,
)  # fmt: skip

NO_MARKS = "How far below the mark is a share of the way between the two marks."


K = units.Kind
# Ours: between the two marks of a stick, when nobody wrote it; how far that and a stated distance may be off. [L]
MARKS_L, MARKS_HALF_L, STATED_HALF_L = 1.0, 0.4, 0.1
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


def topped(vehicle: VehicleState) -> list[Topped]:
    """Return each fluid that was ever topped up, with what is used of it."""
    events = vehicle.kept("topped_up")
    return [_one(fluid, found) for fluid in TOPPED if (found := [one for one in events if one.data["fluid"] == fluid])]


def _one(fluid: Fluid, events: Iterable[Event]) -> Topped:
    ordered = tuple(sorted(events, key=lambda one: float(one.data["km"])))
    try:
        found = _use(ordered, marks_known(fluid, ordered))
    except ValueError as refused:
        return Topped(fluid, ordered, None, capital(str(refused)))
    rows = [_use_words(found), _allowed_words(found, ordered), _next_words(found, ordered, marks_known(fluid, ordered))]
    return Topped(fluid, ordered, found, " ".join(one for one in [*rows, USED_UP.get(fluid, "")] if one))


@dataclass(frozen=True)
class Marks:
    """How much fits between the two marks, and how far that may be off. [L]"""

    litre: float
    half: float
    assumed: bool


def marks_known(fluid: str, events: Sequence[Event]) -> Marks | None:
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
