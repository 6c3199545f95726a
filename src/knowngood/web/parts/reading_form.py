"""The form that asks for a reading: its fields, which of them may be below zero, what the instrument showed last."""

from collections.abc import Collection, Sequence

from knowngood.acts.job.garage import Garage, Job
from knowngood.acts.readings.gated import NOT_SAFETY, is_refused
from knowngood.acts.readings.offers import last_used, offers, read_before, told
from knowngood.acts.tools.toolbox import reading
from knowngood.engine.measurement.meters.checking import HOLDS_AT_C, HOLDS_WITHIN_K
from knowngood.quantities.basic import AMBIENT
from knowngood.quantities.known import QUANTITIES, usual_for
from knowngood.quantities.model import Ask, Quantity
from knowngood.sheet.model import AskRef, Limit
from knowngood.store.event import Event
from knowngood.units import Kind
from knowngood.web.parts import draw
from knowngood.web.parts.forms import Button, Field, Form

# What a display or a scale of a home garage can show below zero; our choice.
BELOW_ZERO = frozenset({Kind.TEMPERATURE, Kind.TEMPERATURE_DIFFERENCE, Kind.VOLTAGE, Kind.CURRENT, Kind.ANGLE})
# What wears by distance, and the field that says how far the vehicle has gone.
WEARS = frozenset({"disc_thickness", "pad_thickness", "tread_depth"})
ODOMETER = Field("odometer", "Odometer", "number", "km", hint="Such as 148300: then its wear is told by km too.")
NOT_SAFETY_FIELD = Field(
    NOT_SAFETY,
    "It belongs to no airbag, belt, high voltage or refrigerant, because",
    hint="Only when its name misleads, such as: igniter of the camping stove. The record keeps it.",
)
# What an electric meter reads, whose data sheet holds in a mild room only.
BY_METER = frozenset({Kind.RESISTANCE, Kind.VOLTAGE, Kind.CURRENT})


def reading_form(garage: Garage, job: Job, limit: str, back: str, *, step: str = "", bar: bool = False) -> Form:
    """What a limit of the sheet needs to be judged; what the sheet states is not asked again."""
    one, readings = job.sheet.limits[limit], told(garage, job.vehicle_id)
    quantity, unit = _judged_as(one), draw.unit_of(one.band)
    unit = quantity.read_in(unit) if quantity else unit
    # Before the manual has stated the limit, nobody knows the kind: then there is a minus.
    signed = quantity is None or quantity.reads in BELOW_ZERO
    last = offers(read_before(garage, job, limit, readings), "read", unit)
    hint = quantity.trap if quantity else ""
    fields = [
        Field("read", f"Readings: {one.name}", "readings", unit, required=True, signed=signed, offers=last, hint=hint)
    ]
    if isinstance(one.band, AskRef):
        like = job.sheet.asks[one.band.ask].like
        fields.append(Field("limits", "Limits your manual states", hint=f"Such as {like}."))
    fields += asked(quantity, _stated(one), readings, unit) if quantity else []
    fields += [ODOMETER] if quantity and quantity.name in WEARS else []
    fields += [*meter_field(garage, quantity, readings), *(ambient_field() if quantity and by_meter(quantity) else [])]
    fields += [NOT_SAFETY_FIELD] if is_refused(one.name, one.kind) else []
    hidden = {"limit": limit, "step": step, "name": one.name}
    return Form("reading_judged", f"job/{job.id}", back, fields, [Button("Judge", "done")], hidden, bar)


def _judged_as(limit: Limit) -> Quantity | None:
    """What a reading of it goes through; None where only the limits would say, and the manual has to state them yet."""
    if limit.quantity:
        return QUANTITIES.get(limit.quantity)
    return None if isinstance(limit.band, AskRef) else usual_for(limit.band.kind)


def _stated(limit: Limit) -> set[str]:
    """Names of what the sheet says itself; a winding's reference is the usual one when it does not."""
    stated = set(limit.given) | {"at", "conductor"}
    return stated if limit.conductor in ("copper", "aluminium") else stated | {"part"}


def asked(quantity: Quantity, stated: Collection[str], readings: Sequence[Event], unit: str) -> list[Field]:
    """A field for each thing that a quantity wants to know and nobody stated."""
    asks = [ask for ask in quantity.asks if ask.name not in stated]
    return [field for ask in asks for field in _fields_of(ask, readings, quantity.bare_unit(ask, unit))]


def _fields_of(ask: Ask, readings: Sequence[Event], unit: str) -> list[Field]:
    if ask.name == "part":
        return part_fields(ask.label)
    if ask.choices:
        return [Field(ask.name, ask.label, "pick", value=ask.default, choices=ask.choices, hint=ask.hint)]
    if ask.timed:
        return [Field(ask.name, ask.label, hint=ask.hint)]
    last = offers(readings, ask.name, unit) if ask.name == "zero" else {}
    kind = "readings" if ask.many and ask.name != "zero" else "number"
    return [Field(ask.name, ask.label, kind, unit, ask.default, ask.hint, signed=ask.signed, offers=last)]


def part_fields(label: str) -> list[Field]:
    """The part's temperature, and how far it may be off: two fields, for a number pad has no ±."""
    return [
        Field("part", label, "number", "°C", half=True, signed=True, hint="Such as 48."),
        Field("part_give", "Give or take", "number", "°C", half=True, hint="Such as 4."),
    ]


def meter_field(garage: Garage, quantity: Quantity | None, readings: Sequence[Event]) -> list[Field]:
    """Which instrument of the toolbox it was read with, the one used last; nothing to ask when none reads this."""
    toolbox = garage.toolbox()
    # One instrument has a line for each of its ranges.
    every = list(dict.fromkeys(event.data["name"] for event in toolbox.instruments))
    names = reading(toolbox, quantity, well=False) if quantity else every
    choices = [*((name, name) for name in names), ("", "Another: a cheap one is assumed")]
    chosen = (last_used(readings, names) or names[0]) if names and quantity else ""
    return [Field("meter", "Read with", "pick", value=chosen, choices=choices)] if names else []


def by_meter(quantity: Quantity) -> bool:
    """Is it read with an electric meter, which a cold or hot place puts off?"""
    return quantity.reads in BY_METER


def ambient_field() -> list[Field]:
    """Where the meter lies; left empty, it lies in a mild room."""
    low, high = (f"{HOLDS_AT_C + side * HOLDS_WITHIN_K:g}" for side in (-1.0, 1.0))
    hint = f"Such as 5. Below {low} or above {high} °C it is off by more; left empty, it lies between."
    return [Field(AMBIENT.name, AMBIENT.label, "number", AMBIENT.unit, signed=AMBIENT.signed, hint=hint)]
