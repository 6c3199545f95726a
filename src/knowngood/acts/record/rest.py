"""Entries of the toolbox and of a vehicle."""

from collections.abc import Callable, Mapping
from functools import partial

from knowngood import units
from knowngood.acts.cautions.equipment import ANSWERS, EQUIPMENT
from knowngood.acts.job import photos
from knowngood.acts.job.garage import Garage
from knowngood.acts.record.entries import Draft, Entry, entry_day
from knowngood.acts.record.prices_stated import stated_data
from knowngood.acts.record.reading import reading_data
from knowngood.acts.record.tools import added, checked_data
from knowngood.acts.record.topping_up import topped_up
from knowngood.engine.fasteners.wrenches import Wrench
from knowngood.refusal import Refused, parsed
from knowngood.store.errors import PhotoRefused
from knowngood.store.moment import zone_named

# With these a vehicle and a job begin; all else that is said of one stands on it.
OPENINGS = ("vehicle_named", "job_opened")


def noted(garage: Garage, entry: Entry) -> list[Draft]:
    """A note in the person's own words, a photo, or both; of several photos each gets an event of its own."""
    said = {"text": entry.text("text"), "step": entry.text("step") or None}
    if not entry.files:
        entry.needed("text", "what you noticed, or add a photo")
        return [Draft("noted", said)]
    when = entry.text("when")
    if when not in photos.WHEN:
        raise Refused({"when": f'"{when}" is no time for a photo. Take before, after or neither.'})
    names = [_kept_photo(garage, field, content) for field, content in entry.files.items()]
    return [Draft("noted", {**said, "photo": name, "when": when or None}) for name in dict.fromkeys(names)]


def _kept_photo(garage: Garage, field: str, content: bytes) -> str:
    try:
        return garage.store.photos.keep(content)
    except PhotoRefused as refused:
        raise Refused({field: str(refused)}) from refused


def withdrawn(garage: Garage, entry: Entry) -> list[Draft]:
    """Take an earlier entry back, or several with spaces between their ids; they stay in the book as withdrawn."""
    targets = list(dict.fromkeys(entry.needed("event", "which entry").split()))
    events = [garage.store.event(one) for one in targets]
    if any(one is None or one.stream != entry.stream for one in events):
        raise Refused({"": "That entry is not here any more, so it cannot be taken back. Reload the page."})
    if any(one.kind in OPENINGS and one.seq == garage.store.oldest_seq(entry.stream) for one in events if one):
        raise Refused({"": "A vehicle or job that was begun stays in the garage. Rename it, or finish it in the Book."})
    return [Draft("withdrawn", {"id": one}) for one in targets]


def reading_judged(garage: Garage, entry: Entry) -> list[Draft]:
    """A reading judged with no job: a limit and a reading are enough."""
    return [Draft("reading_judged", reading_data(garage, entry, limit=None))]


def _instrument_added(_: Garage, entry: Entry) -> list[Draft]:
    """One line of an instrument, or all those of a kind of instrument whose data sheet is not at hand."""
    return [Draft("instrument_added", data) for data in added(entry)]


def _instrument_checked(garage: Garage, entry: Entry) -> list[Draft]:
    today = entry_day(garage, entry).isoformat()
    return [Draft("instrument_checked", checked_data(garage.toolbox(), entry, today=today))]


def _wrench_added(_: Garage, entry: Entry) -> list[Draft]:
    name = entry.needed("name", "what you call it, such as small torque wrench")
    typed = entry.needed("range", "what it can be set to, such as 5..25 N·m")
    span = parsed("range", lambda: units.span(typed, units.Kind.TORQUE))
    if span.lower is None or span.upper is None:
        raise Refused(
            {"range": f'"{typed}" has one end only. Write the lowest and the highest mark, such as 5..25 N·m.'}
        )
    percent = parsed("range", partial(Wrench, name, span.upper, span.lower)).tolerance_percent
    data = {"name": name, "lower_nm": span.lower, "upper_nm": span.upper, "percent": percent, "typed": typed}
    return [Draft("wrench_added", data)]


def _tool_added(_: Garage, entry: Entry) -> list[Draft]:
    return [Draft("tool_added", {"name": entry.needed("name", "what it is, such as two axle stands")})]


def _price_stated(garage: Garage, entry: Entry) -> list[Draft]:
    return [Draft("price_stated", stated_data(garage, entry))]


def _zone_stated(_: Garage, entry: Entry) -> list[Draft]:
    """Whose days count; empty for those of the computer again."""
    zone = entry.text("zone")
    if zone and zone_named(zone) is None:
        raise Refused({"zone": f'"{zone}" is no zone known here. Write continent and town, such as Europe/Berlin.'})
    return [Draft("zone_stated", {"zone": zone})]


def _vehicle_named(_: Garage, entry: Entry) -> list[Draft]:
    return [Draft("vehicle_named", {"name": entry.needed("name", "what you call the vehicle")})]


def _vehicle_renamed(_: Garage, entry: Entry) -> list[Draft]:
    return [Draft("vehicle_renamed", {"name": entry.needed("name", "what you call the vehicle from now on")})]


def _described(_: Garage, entry: Entry) -> list[Draft]:
    driven = entry.text("driven") or None
    if driven not in (None, "front", "rear", "all"):
        raise Refused({"driven": f'"{driven}" is not an axle. Write front, rear or all.'})
    seen = {"text": entry.text("text"), "odometer_km": odometer_km(entry), "driven": driven}
    return [Draft("described", {**seen, **equipment_typed(entry)})]


def odometer_km(entry: Entry) -> float | None:
    """What the odometer was seen to show; None when nobody looked. [km]"""
    typed = entry.text("odometer")
    if not typed:
        return None
    km = parsed("odometer", lambda: units.quantity(typed, units.Kind.DISTANCE, unit="km").value)
    if km < 0.0:
        raise Refused({"odometer": f'"{typed}" is no odometer. Write what it shows, such as 148300.'})
    return km


Handlers = Mapping[str, Callable[[Garage, Entry], list[Draft]]]

TOOLBOX: Handlers = {
    "instrument_added": _instrument_added,
    "instrument_checked": _instrument_checked,
    "wrench_added": _wrench_added,
    "tool_added": _tool_added,
    "price_stated": _price_stated,
    "zone_stated": _zone_stated,
    "reading_judged": reading_judged,
    "noted": noted,
    "withdrawn": withdrawn,
}
VEHICLE: Handlers = {
    "vehicle_named": _vehicle_named,
    "vehicle_renamed": _vehicle_renamed,
    "described": _described,
    "topped_up": topped_up,
    "noted": noted,
    "withdrawn": withdrawn,
}


def equipment_typed(entry: Entry) -> dict[str, str]:
    """Return what was typed of the equipment; what was left open is not in it.

    Raises:
        Refused: An answer is none of the three.
    """
    typed = {name: entry.text(name) for name in EQUIPMENT if entry.text(name)}
    for name, answer in typed.items():
        if answer not in ANSWERS:
            raise Refused({name: f'"{answer}" is no answer here. Write yes, no or not known.'})
    return typed
