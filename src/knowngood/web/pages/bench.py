"""Bench: what stands open, and what the garage has."""

from collections.abc import Iterable, Mapping
from datetime import date
from functools import partial
from typing import Any
from zoneinfo import ZoneInfo

from knowngood.acts.cautions.equipment import EQUIPMENT, equipment_words
from knowngood.acts.faults.proofs import proofs_of
from knowngood.acts.faults.watches import Watch, watch_words, watches_of
from knowngood.acts.job.garage import Garage, Job
from knowngood.acts.job.photos import Photo, photo_of
from knowngood.acts.job.run import standing_open
from knowngood.acts.job.standing import open_words
from knowngood.acts.job.vehicle_log import moves_of
from knowngood.acts.readings.relations import compared_words
from knowngood.acts.record.entries import NEW_JOB, NEW_VEHICLE
from knowngood.acts.record.prices_stated import PRICED, can_be_priced
from knowngood.acts.tools.instrument_checks import Held, held
from knowngood.acts.tools.prices import priced
from knowngood.acts.tools.taken_away import taken_away
from knowngood.sheet import library
from knowngood.store.folds import ToolboxState, VehicleState
from knowngood.web.pages.of_job import Page
from knowngood.web.pages.toolbox_forms import tool_forms
from knowngood.web.parts import draw, notes, topping_form
from knowngood.web.parts.equipment_fields import equipment_fields
from knowngood.web.parts.forms import Button, Field, Form, Kept
from knowngood.web.server.failing import each, part
from knowngood.words import km_words

ZONE = "Continent and town, such as Europe/Berlin. Empty: those of the computer that keeps the garage."


def bench(garage: Garage, kept: Kept | None) -> Page:
    """The first page: jobs, loose readings, notes, vehicles, toolbox."""
    read = each((f"the job {one}", partial(garage.readable_job, one)) for one in garage.ids("job"))
    jobs = {job.id: job for job in read if job is not None}
    vehicles, toolbox = _vehicles(garage), garage.toolbox()
    today = garage.today()
    watched = each((f"what to watch of {job.title}", partial(_watches, job, today, kept)) for job in jobs.values())
    open_jobs = {name: job for name, job in jobs.items() if not job.state.finished}
    return {
        "page": "bench",
        "jobs": each((job.title, partial(_job, job)) for job in open_jobs.values()),
        "finished": [
            {"href": f"/job/{job.id}/book", "label": job.title, "note": job.vehicle.name}
            for job in jobs.values()
            if job.state.finished
        ],
        "watches": [row for rows in watched for row in rows],
        "loose": each(
            (f"a reading of {event.data['name']}", partial(_loose, event, open_jobs, jobs, kept))
            for event in reversed(toolbox.readings)
        ),
        "compared": part("how the readings compare", partial(compared_words, toolbox.readings), []),
        "note_form": notes.note("toolbox", "/").shown(kept),
        "photo_rows": notes.rows(_photos(toolbox, vehicles)),
        "notes": [event.data["text"] for event in reversed(toolbox.notes)],
        "vehicles": each((one.name, partial(_vehicle_words, one)) for one in vehicles.values()),
        "standing": part("what stands open", partial(_standing, garage, jobs.values()), []),
        "topped": [row for rows in _topped(vehicles, kept) for row in rows],
        "forms": _garage_forms(vehicles, garage.zone, kept),
        "toolbox": part("the toolbox", lambda: [_held(one, kept) for one in held(toolbox)], []),
        "prices": part("what things cost", lambda: [_held(one, kept) for one in priced(toolbox)], []),
        "taken": [_held(one, kept, "Put it back") for one in [taken_away(toolbox)] if one],
        "tool_forms": tool_forms(toolbox, part("prices of parts", partial(can_be_priced, garage), PRICED), kept),
        "folder": str(garage.folder),
    }


def _standing(garage: Garage, jobs: Iterable[Job]) -> list[dict[str, Any]]:
    """What stands open on each vehicle, with job and step."""
    names = {job.vehicle_id: job.vehicle.name for job in jobs}
    rows = {name: open_words(moves_of(garage, vehicle)) for vehicle, name in names.items()}
    return [{"vehicle": name, "rows": found} for name, found in rows.items() if found]


def _vehicles(garage: Garage) -> dict[str, VehicleState]:
    read = each((f"the vehicle {one}", partial(_with_id, garage, one)) for one in garage.ids("vehicle"))
    return {vehicle: state for vehicle, state in read if state.entries}


def _with_id(garage: Garage, vehicle: str) -> tuple[str, VehicleState]:
    return vehicle, garage.vehicle(vehicle)


def _topped(vehicles: Mapping[str, VehicleState], kept: Kept | None) -> list[list[dict[str, Any]]]:
    rows = topping_form.rows
    return each((f"top-ups of {one.name}", partial(rows, name, one, kept)) for name, one in vehicles.items())


def _watches(job: Job, today: date, kept: Kept | None) -> list[dict[str, Any]]:
    return [_watch(job, one, kept) for one in watches_of(job, today) if one.closed is None]


def _job(job: Job) -> dict[str, Any]:
    run = job.run
    now = f"Next: {run.now.do}." if run.now else _no_step(job)
    words, page, link = (now, "now", "Go on") if job.started else ("Not started yet.", "start", "Before the start")
    open_ = standing_open(run) if job.started else []
    return {
        "id": job.id,
        "title": job.title,
        "vehicle": job.vehicle.name,
        "words": words,
        "page": page,
        "link": link,
        "open": open_,
    }


def _no_step(job: Job) -> str:
    """Why no step is next: all are done, or something holds up what is left."""
    if not job.run.finished:
        return "No step can be next."
    proofs = proofs_of(job)
    if any(one.state == "failed" for one in proofs):
        return "Every step is done, and a proof has failed: see Why."
    owed = sum(one.state != "in" for one in proofs)
    if not owed:
        return "Every step is done: finish it in the Book."
    return f"Every step is done; {owed} {'proof stands' if owed == 1 else 'proofs stand'} open in the Book."


def _photos(toolbox: ToolboxState, vehicles: Mapping[str, VehicleState]) -> list[Photo]:
    """Photos that belong to no job, the newest of the toolbox first, then each vehicle's."""
    loose = [photo_of(event, "") for event in reversed(toolbox.photos)]
    return loose + [photo_of(event, one.name) for one in vehicles.values() for event in reversed(one.photos)]


def _loose(event: Any, open_jobs: dict[str, Job], jobs: dict[str, Job], kept: Kept | None) -> dict[str, Any]:
    shown = draw.finding(event.data)
    where = [job for job in jobs.values() if any(one.data["reading"] == event.id for one in job.state.attached)]
    if where:
        return {**shown, "words": f"{shown['words']} Attached to {where[0].title}.", "form": None}
    if not open_jobs:
        return {**shown, "form": None}
    job = next(iter(open_jobs.values()))
    limits = [("", "none of the sheet's limits"), *((name, one.name) for name, one in job.sheet.limits.items())]
    fields = [Field("limit", f"To {job.title}, as a reading of", "pick", choices=limits)]
    form = Form("reading_attached", f"job/{job.id}", "/", fields, [Button("Attach it")], {"reading": event.id})
    return {**shown, "form": form.shown(kept)}


def _watch(job: Job, one: Watch, kept: Kept | None) -> dict[str, Any]:
    """What to keep an eye on, and the two ways on: nothing was found, or the fault is back."""
    looked = Form(
        "watch_closed", f"job/{job.id}", "/", hidden={"watch": one.event}, buttons=[Button("Looked: nothing", "quiet")]
    )
    # The new job's id follows from the watch, so that a second press opens no second job.
    hidden = {"vehicle": job.vehicle_id, "from_watch": f"{job.id}/{one.event}", "complaint": f"It is back: {one.what}"}
    back = Form("job_opened", f"job/{one.event[:12]}", "/", hidden=hidden, buttons=[Button("It is back", "quiet")])
    return {"words": f"{watch_words(one)} ({job.vehicle.name})", "forms": [looked.shown(kept), back.shown(kept)]}


def _held(one: Held, kept: Kept | None, label: str = "Take it away") -> dict[str, Any]:
    """What the toolbox holds, and the button that takes all that was said of it back."""
    button = Button(label, "quiet")
    form = Form("withdrawn", "toolbox", "/", hidden={"event": " ".join(one.events)}, buttons=[button])
    return {"words": one.words, "form": form.shown(kept)}


def _vehicle_words(vehicle: Any) -> str:
    parts = [
        vehicle.name,
        vehicle.text,
        *equipment_words(vehicle),
        km_words(vehicle.odometer_km) if vehicle.odometer_km else "",
    ]
    return ", ".join(part for part in parts if part)


def _details(title: str, form: Form, kept: Kept | None) -> dict[str, Any]:
    return {**form.shown(kept), "summary": title}


def _garage_forms(known: Mapping[str, VehicleState], zone: ZoneInfo | None, kept: Kept | None) -> list[dict[str, Any]]:
    """Add a vehicle; start a job from a sheet of the library or one of the person's own."""
    name = Field("name", "What you call it", required=True)
    vehicle = Form("vehicle_named", NEW_VEHICLE, "/", [name], [Button("Add it", "done")])
    forms = [_details("Add a vehicle", vehicle, kept)]
    days = Field("zone", "Days are those of", value=zone.key if zone else "", hint=ZONE)
    forms.append(_details("Days and times", Form("zone_stated", "toolbox", "/", [days], [Button("Keep it")]), kept))
    vehicles = [(name, one.name) for name, one in known.items()]
    if vehicles:
        fields = [
            Field("vehicle", "Which vehicle", "pick", choices=vehicles),
            Field("library", "From which sheet", "pick", choices=[(one.id, one.title) for one in library.sheets()]),
            Field("sheet", "Or paste a sheet of your own", "long"),
            Field("scope", "How much of it", hint="Scopes of the sheet with commas between them. Empty: all of it."),
            Field("complaint", "What is wrong, in your words", "long"),
            Field("quote", "What a shop asks for it", "number"),
        ]
        job = Form("job_opened", NEW_JOB, "/", fields, [Button("Open it", "done")])
        forms.append(_details("Start a job", job, kept))
        forms += [_details(f"Describe {name}", _describe_form(one), kept) for one, name in vehicles]
        forms += [_details(f"Rename {name}", _rename_form(one, name), kept) for one, name in vehicles]
        forms += [_details(f"Top-up of {name}", topping_form.topping_form(one), kept) for one, name in vehicles]
    return forms


def _rename_form(vehicle: str, name: str) -> Form:
    field = Field("name", "What you call it from now on", value=name, required=True)
    return Form("vehicle_renamed", f"vehicle/{vehicle}", "/", [field])


def _describe_form(vehicle: str) -> Form:
    fields = [
        Field("text", "In your words"),
        Field("odometer", "Odometer", "number", "km"),
        Field("driven", "Driven wheels", "choice", choices=[("front", "front"), ("rear", "rear"), ("all", "all")]),
        *equipment_fields(EQUIPMENT),
    ]
    return Form("described", f"vehicle/{vehicle}", "/", fields)
