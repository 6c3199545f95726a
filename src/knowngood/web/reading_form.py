"""The form that asks for a reading: its fields, which of them may be below zero, what the instrument showed last."""

from collections.abc import Sequence

from knowngood import units
from knowngood.acts.garage import Garage, Job
from knowngood.acts.offers import last_used, offers, told
from knowngood.sheet.model import AskRef
from knowngood.store.event import Event
from knowngood.units import Kind
from knowngood.web import draw
from knowngood.web.forms import Button, Field, Form

# What a display or a scale of a home garage can show below zero; our choice.
BELOW_ZERO = frozenset({Kind.TEMPERATURE, Kind.TEMPERATURE_DIFFERENCE, Kind.VOLTAGE, Kind.CURRENT, Kind.ANGLE})


def reading_form(garage: Garage, job: Job, limit: str, back: str, *, step: str = "", bar: bool = False) -> Form:
    """What a limit of the sheet needs to be judged."""
    one, readings = job.sheet.limits[limit], told(garage)
    unit = draw.unit_of(one.band)
    kind = units.kind_of(unit) if unit else None
    # Before the manual has stated the limit, nobody knows the kind: then there is a minus.
    signed = kind is None or kind in BELOW_ZERO
    last = offers(readings, "read", unit)
    fields = [Field("read", f"Readings: {one.name}", "readings", unit, required=True, signed=signed, offers=last)]
    if isinstance(one.band, AskRef):
        fields.append(Field("limits", "Limits your manual states", value="", hint="Such as 80..95 ohm."))
    if kind is Kind.RESISTANCE:
        last = offers(readings, "zero", unit)
        fields.append(Field("zero", "Probes touching", "number", unit, hint="Such as 0.4.", offers=last))
    if one.conductor in ("copper", "aluminium"):
        fields += part_fields("Part is at", readings)
    fields += meter_field(garage, unit, readings)
    hidden = {"limit": limit, "step": step, "name": one.name}
    return Form("reading_judged", f"job/{job.id}", back, fields, [Button("Judge", "done")], hidden, bar)


def part_fields(label: str, readings: Sequence[Event]) -> list[Field]:
    """The part's temperature, and how far it may be off: two fields, for a number pad has no ±."""
    last = offers(readings, "part", "°C")
    return [
        Field("part", label, "number", "°C", half=True, signed=True, hint="Such as 48.", offers=last),
        Field("part_give", "Give or take", "number", "°C", half=True, hint="Such as 4."),
    ]


def meter_field(garage: Garage, unit: str, readings: Sequence[Event]) -> list[Field]:
    """Which instrument of the toolbox it was read with, the one used last; nothing to ask when none reads this unit."""
    inside = units.kind_of(unit).unit if unit else ""
    instruments = [event.data for event in garage.toolbox().instruments]
    names = [one["name"] for one in instruments if not inside or one["unit"] == inside]
    choices = [*((name, name) for name in names), ("", "Another: a budget one is assumed")]
    chosen = (last_used(readings, names) or names[0]) if names and inside else ""
    return [Field("meter", "Read with", "pick", value=chosen, choices=choices)] if names else []
