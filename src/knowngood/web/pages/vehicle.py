"""A vehicle: what stands open on it, its jobs, what it uses, and what is said of it."""

from functools import partial
from typing import Any
from zoneinfo import ZoneInfo

from knowngood.acts.cautions.equipment import EQUIPMENT
from knowngood.acts.job.garage import Garage
from knowngood.acts.job.index import JobRow
from knowngood.acts.job.photos import photo_of
from knowngood.acts.job.standing import open_words
from knowngood.refusal import Refused
from knowngood.store.folds import VehicleState
from knowngood.store.moment import day_of
from knowngood.web.pages.bench import details, start_form, vehicle_words
from knowngood.web.pages.of_job import Page
from knowngood.web.parts import notes, topping_form
from knowngood.web.parts.equipment_fields import equipment_fields
from knowngood.web.parts.forms import Field, Form, Kept
from knowngood.web.server.failing import each, part
from knowngood.words import day_words


def vehicle(garage: Garage, vehicle_id: str, kept: Kept | None) -> Page:
    """All of one vehicle.

    Raises:
        Refused: There is no such vehicle.
    """
    row = garage.index.vehicle(vehicle_id)
    if row is None:
        raise Refused({"": "There is no such vehicle in this garage. The Bench shows all that there are."})
    state, back = garage.vehicle(vehicle_id), f"/vehicle/{vehicle_id}"
    jobs = [one for one in garage.index.jobs() if one.vehicle == vehicle_id]
    return {
        "page": "vehicle",
        "stream": f"vehicle/{vehicle_id}",
        "seq": garage.store.newest_seq(f"vehicle/{vehicle_id}"),
        "name": row.name,
        "words": vehicle_words(row),
        "standing": part("what stands open", lambda: open_words(garage.moves_of(vehicle_id)), []),
        "open": [_link(one, "now", "") for one in jobs if not one.finished],
        "finished": [_link(one, "book", _day(one, garage.zone)) for one in reversed(jobs) if one.finished],
        "topped": part("top-ups", partial(topping_form.rows, vehicle_id, state, kept), []),
        "notes": [event.data["text"] for event in reversed(state.notes)],
        "photo_rows": notes.rows(photo_of(event, row.name) for event in reversed(state.photos)),
        "note_form": notes.note(f"vehicle/{vehicle_id}", back).shown(kept),
        "forms": each((title, partial(details, title, form, kept)) for title, form in _forms(vehicle_id, state, back)),
    }


def _link(job: JobRow, page: str, note: str) -> dict[str, str]:
    return {"href": f"/job/{job.id}/{page}", "label": job.title, "note": note}


def _day(job: JobRow, zone: ZoneInfo | None) -> str:
    return day_words(day_of(job.finished, zone))


def _forms(vehicle_id: str, state: VehicleState, back: str) -> list[tuple[str, Form]]:
    return [
        ("Start a job", start_form([], back, {"vehicle": vehicle_id})),
        ("Top-up", topping_form.topping_form(vehicle_id)),
        ("Describe it", _describe_form(vehicle_id, back)),
        ("Rename it", _rename_form(vehicle_id, state.name, back)),
    ]


def _rename_form(vehicle: str, name: str, back: str) -> Form:
    field = Field("name", "What you call it from now on", value=name, required=True)
    return Form("vehicle_renamed", f"vehicle/{vehicle}", back, [field])


def _describe_form(vehicle: str, back: str) -> Form:
    fields: list[Any] = [
        Field("text", "In your words"),
        Field("odometer", "Odometer", "number", "km"),
        Field("driven", "Driven wheels", "choice", choices=[("front", "front"), ("rear", "rear"), ("all", "all")]),
        *equipment_fields(EQUIPMENT),
    ]
    return Form("described", f"vehicle/{vehicle}", back, fields)
