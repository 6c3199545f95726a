"""Topping up: what each vehicle uses, and the form for the next time."""

from typing import Any

from knowngood.acts.fluids.topping_up import TOPPED, entry_words, topped
from knowngood.sheet.circuits import Fluid
from knowngood.store.folds import VehicleState
from knowngood.web.parts.forms import Button, Field, Form, Kept

# Two oils whose names say too little.
FLUIDS = {
    Fluid.GEARBOX_OIL: "oil of an automatic gearbox",
    Fluid.GEAR_OIL: "oil of a manual gearbox, an axle or a transfer case",
}
NOT_LOOKED = "Before pouring. Not looked: filled up to the same mark each time."
# What can be seen of a level: how far it is on its way from the upper mark, 0 %, to the lower one, 100 %.
STOOD = (
    ("", "not looked"),
    ("0 %", "at the upper mark"),
    ("25 %", "a quarter of the way down to the lower mark"),
    ("50 %", "halfway between the marks"),
    ("75 %", "three quarters of the way down"),
    ("100 %", "at the lower mark"),
    ("125 %", "a little below the lower mark"),
)


def rows(vehicle_id: str, vehicle: VehicleState, kept: Kept | None) -> list[dict[str, Any]]:
    """Each fluid in words, its newest entry, and the button that takes that one back."""
    found = []
    for one in topped(vehicle):
        last = one.events[-1]
        button = Button("Take that back", "quiet")
        form = Form(
            "withdrawn", f"vehicle/{vehicle_id}", f"/vehicle/{vehicle_id}", hidden={"event": last.id}, buttons=[button]
        )
        title = one.fluid.value.capitalize()
        found.append({"title": title, "words": one.words, "last": entry_words(last), "form": form.shown(kept)})
    return found


def topping_form(vehicle_id: str) -> Form:
    """One time that a level was looked at and something, or nothing, was poured in."""
    fields = [
        Field("fluid", "Which fluid", "pick", choices=[(one.value, FLUIDS.get(one, one.value)) for one in TOPPED]),
        Field("below", "Where the level stood", "pick", choices=STOOD, hint=NOT_LOOKED),
        Field("amount", "Poured in", "number", "L", half=True, required=True, hint="0: only looked."),
        Field("odometer", "Odometer", "number", "km", half=True, required=True),
        Field("date", "When", hint="Such as 2026-11-21. Empty: today."),
        Field("marks", "Fits between the two marks", "number", "L", half=True, hint="Once is enough."),
        Field("most", "Your manual allows, per 1000 km", "number", "L", half=True, hint="Once is enough."),
    ]
    return Form("topped_up", f"vehicle/{vehicle_id}", f"/vehicle/{vehicle_id}", fields, [Button("Keep it", "done")])
