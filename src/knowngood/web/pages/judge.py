"""Judge a reading, with no vehicle or job needed: pick what was measured, and only that is asked."""

from dataclasses import replace

from knowngood.acts.job.garage import Garage
from knowngood.acts.readings.offers import offers, told
from knowngood.quantities.known import GROUPS, QUANTITIES, example_words
from knowngood.quantities.model import Quantity
from knowngood.store.event import Event
from knowngood.web.pages.of_job import Page
from knowngood.web.parts import draw
from knowngood.web.parts.forms import Button, Field, Form, Kept
from knowngood.web.parts.leads_to import with_links
from knowngood.web.parts.reading_form import NOT_SAFETY_FIELD, ambient_field, asked, by_meter, meter_field, part_fields
from knowngood.web.parts.typed_last import typed_last

CONDUCTORS = [("", "I do not know"), ("copper", "copper"), ("aluminium", "aluminium"), ("alloy", "resistance alloy")]


def judge(garage: Garage, kept: Kept | None, reading: str, name: str) -> Page:
    """A limit and a reading are enough.

    Args:
        reading: Id of the reading that was judged last; empty before.
        name: Of the quantity; empty takes what limits of that unit usually are.
    """
    event = garage.store.event(reading) if reading else None
    judged = [draw.verdict(event.data)] if event and event.kind == "reading_judged" else []
    quantity = QUANTITIES.get(kept.values.get("quantity", "") if kept else name)
    fields = _fields(quantity, told(garage)) if quantity else _usual_fields(told(garage))
    fields += meter_field(garage, quantity, told(garage))
    fields += ambient_field() if quantity is None or by_meter(quantity) else []
    fields.append(replace(NOT_SAFETY_FIELD, asked=True))
    hidden = {"quantity": quantity.name} if quantity else {}
    form = Form("reading_judged", "toolbox", "/judge", fields, [Button("Judge", "done")], hidden)
    shown = form.shown(kept or typed_last(form, event))
    judged = [with_links(one, shown) for one in judged]
    title, trap = (quantity.title, quantity.trap) if quantity else ("", "")
    return {
        "page": "judge", "judge_form": shown, "judged": judged, "title": title, "trap": trap,
        "groups": [{"title": group, "items": [_link(one) for one in rows]} for group, rows in GROUPS.items()],
    }  # fmt: skip


def _link(quantity: Quantity) -> dict[str, str]:
    return {"href": f"/judge?quantity={quantity.name}", "label": quantity.title, "note": ""}


def _usual_fields(readings: tuple[Event, ...]) -> list[Field]:
    """The limit says the unit here, so what is offered carries its own."""
    zeros = {name: [f"{one} ohm" for one in last] for name, last in offers(readings, "zero", "ohm").items()}
    return [
        Field("name", "What it is", hint="Such as horn relay coil."),
        Field("limits", "What is allowed", hint="Such as 80..95 ohm, or max 13.3 ohm.", required=True),
        Field("read", "What you read", hint="One or more, such as 100.9 101.2 101.1 ohm.", required=True),
        Field("zero", "Probes touching", hint="Such as 0.4 ohm.", offers=zeros),
        *part_fields("The part is at"),
        Field("at", "Limits hold at", "number", "°C", half=True, signed=True, hint="Such as 20."),
        Field("conductor", "A winding of", "pick", half=True, choices=CONDUCTORS),
    ]


def _fields(quantity: Quantity, readings: tuple[Event, ...]) -> list[Field]:
    """Only what this quantity needs; each hint is its example."""
    such_as = example_words(quantity)
    return [
        Field("name", "What it is", hint="Such as left front."),
        Field("limits", "What is allowed", hint=f"Such as {such_as['limits']}.", required=True),
        Field("read", "What you read", hint=f"Such as {such_as['read']}.", required=True),
        *asked(quantity, (), readings, ""),
    ]
