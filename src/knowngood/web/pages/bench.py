"""Bench: what stands open, and what the garage has."""

from collections.abc import Iterable, Mapping, Sequence
from functools import partial
from typing import Any
from zoneinfo import ZoneInfo

from knowngood.acts.cautions.equipment import equipment_words
from knowngood.acts.faults.proofs import proofs_of
from knowngood.acts.faults.watches import Watch, watch_of, watch_words
from knowngood.acts.job.garage import Garage, Job
from knowngood.acts.job.index import JobRow, VehicleRow, open_facts
from knowngood.acts.job.photos import photo_of
from knowngood.acts.job.run import standing_open
from knowngood.acts.job.standing import worth_saying
from knowngood.acts.readings.relations import compared_words
from knowngood.acts.record.entries import NEW_JOB, NEW_VEHICLE
from knowngood.acts.record.prices_stated import PRICED, can_be_priced
from knowngood.acts.tools.instrument_checks import Held, held
from knowngood.acts.tools.prices import priced
from knowngood.acts.tools.taken_away import taken_away
from knowngood.sheet import library
from knowngood.store.event import Event
from knowngood.store.states import NAMELESS
from knowngood.web.pages.of_job import Page
from knowngood.web.pages.toolbox_forms import tool_forms
from knowngood.web.parts import draw, notes
from knowngood.web.parts.forms import Button, Field, Form, Kept
from knowngood.web.server.failing import each, part
from knowngood.words import km_words

ZONE = "Continent and town, such as Europe/Berlin. Empty: those of the computer that keeps the garage."


def bench(garage: Garage, kept: Kept | None) -> Page:
    """The first page: open jobs, loose readings, notes, a line for each vehicle, toolbox.

    What is finished is read from the index alone, so it costs nothing.
    """
    index, toolbox = garage.index, garage.toolbox()
    rows = [row for row in each((f"the job {one}", partial(index.job, one)) for one in index.ids("job")) if row]
    read = ((f"the job {row.title}", partial(garage.readable_job, row.id)) for row in rows if not row.finished)
    jobs = {job.id: job for job in each(read) if job is not None}
    seen = each((f"the vehicle {one}", partial(index.vehicle, one)) for one in index.ids("vehicle"))
    vehicles = {row.id: row for row in seen if row is not None}
    of: dict[str, list[JobRow]] = {}
    for row in rows:
        of.setdefault(row.vehicle, []).append(row)
    shown = {
        "page": "bench",
        "jobs": each((job.title, partial(_job, job)) for job in jobs.values()),
        "watches": part("what to keep an eye on", partial(_watches, garage, rows, vehicles, kept), []),
        "loose": each(
            (f"a reading of {event.data['name']}", partial(_loose, event, jobs, rows, kept))
            for event in reversed(toolbox.readings)
        ),
        "compared": part("how the readings compare", partial(compared_words, toolbox.readings), []),
        "note_form": notes.note("toolbox", "/").shown(kept),
        "photo_rows": notes.rows(photo_of(event, "") for event in reversed(toolbox.photos)),
        "notes": [event.data["text"] for event in reversed(toolbox.notes)],
        "vehicles": each((one.name, partial(_vehicle, one, of.get(one.id, []))) for one in vehicles.values()),
        "forms": _garage_forms(vehicles, garage.zone, kept),
        "toolbox": part("the toolbox", lambda: [_held(one, kept) for one in held(toolbox)], []),
        "prices": part("what things cost", lambda: [_held(one, kept) for one in priced(toolbox)], []),
        "taken": [_held(one, kept, "Put it back") for one in [taken_away(toolbox)] if one],
        "tool_forms": tool_forms(toolbox, part("prices of parts", partial(can_be_priced, garage), PRICED), kept),
        "folder": str(garage.folder),
    }
    index.keep()
    return shown


def _vehicle(vehicle: VehicleRow, own: Sequence[JobRow]) -> dict[str, str]:
    """A vehicle in one line, with what stands open; the rest is on its own page."""
    open_ = worth_saying(open_facts(vehicle, own))
    finished = sum(bool(row.finished) for row in own)
    rows = [
        vehicle_words(vehicle),
        f"{len(open_)} standing open" if open_ else "",
        f"{finished} finished {'job' if finished == 1 else 'jobs'}" if finished else "",
    ]
    return {"href": f"/vehicle/{vehicle.id}", "label": vehicle.name, "note": " · ".join(row for row in rows if row)}


def vehicle_words(vehicle: VehicleRow) -> str:
    """What is known of a vehicle, in a line without its name."""
    km = km_words(vehicle.odometer_km) if vehicle.odometer_km else ""
    return ", ".join(one for one in (vehicle.text, *equipment_words(vehicle.has), km) if one)


def _watches(
    garage: Garage, jobs: Iterable[JobRow], vehicles: Mapping[str, VehicleRow], kept: Kept | None
) -> list[dict[str, Any]]:
    today, found = garage.today(), []
    for row in jobs:
        of = vehicles.get(row.vehicle)
        for one in row.watches:
            told = watch_of(row.id, one.event, one.data, of.odometer_km if of else None, today)
            found.append(_watch(row, told, of.name if of else NAMELESS, kept))
    return found


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


def _loose(event: Event, open_jobs: Mapping[str, Job], jobs: Iterable[JobRow], kept: Kept | None) -> dict[str, Any]:
    shown = draw.finding(event.data)
    where = [row for row in jobs if event.id in row.attached]
    if where:
        return {**shown, "words": f"{shown['words']} Attached to {where[0].title}.", "form": None}
    if not open_jobs:
        return {**shown, "form": None}
    job = next(iter(open_jobs.values()))
    limits = [("", "none of the sheet's limits"), *((name, one.name) for name, one in job.sheet.limits.items())]
    fields = [Field("limit", f"To {job.title}, as a reading of", "pick", choices=limits)]
    form = Form("reading_attached", f"job/{job.id}", "/", fields, [Button("Attach it")], {"reading": event.id})
    return {**shown, "form": form.shown(kept)}


def _watch(job: JobRow, one: Watch, vehicle: str, kept: Kept | None) -> dict[str, Any]:
    """What to keep an eye on, and the two ways on: nothing was found, or the fault is back."""
    looked = Form(
        "watch_closed", f"job/{job.id}", "/", hidden={"watch": one.event}, buttons=[Button("Looked: nothing", "quiet")]
    )
    # The new job's id follows from the watch, so that a second press opens no second job.
    hidden = {"vehicle": job.vehicle, "from_watch": f"{job.id}/{one.event}", "complaint": f"It is back: {one.what}"}
    back = Form("job_opened", f"job/{one.event[:12]}", "/", hidden=hidden, buttons=[Button("It is back", "quiet")])
    return {"words": f"{watch_words(one)} ({vehicle})", "forms": [looked.shown(kept), back.shown(kept)]}


def _held(one: Held, kept: Kept | None, label: str = "Take it away") -> dict[str, Any]:
    """What the toolbox holds, and the button that takes all that was said of it back."""
    button = Button(label, "quiet")
    form = Form("withdrawn", "toolbox", "/", hidden={"event": " ".join(one.events)}, buttons=[button])
    return {"words": one.words, "form": form.shown(kept)}


def details(title: str, form: Form, kept: Kept | None) -> dict[str, Any]:
    """A form that unfolds under its title."""
    return {**form.shown(kept), "summary": title}


def _garage_forms(known: Mapping[str, VehicleRow], zone: ZoneInfo | None, kept: Kept | None) -> list[dict[str, Any]]:
    """Add a vehicle; start a job from a sheet of the library or one of the person's own."""
    name = Field("name", "What you call it", required=True)
    vehicle = Form("vehicle_named", NEW_VEHICLE, "/", [name], [Button("Add it", "done")])
    forms = [details("Add a vehicle", vehicle, kept)]
    days = Field("zone", "Days are those of", value=zone.key if zone else "", hint=ZONE)
    forms.append(details("Days and times", Form("zone_stated", "toolbox", "/", [days], [Button("Keep it")]), kept))
    vehicles = [(name, one.name) for name, one in known.items()]
    if vehicles:
        which = Field("vehicle", "Which vehicle", "pick", choices=vehicles)
        forms.append(details("Start a job", start_form([which], "/"), kept))
    return forms


def start_form(fields: Sequence[Field], back: str, hidden: Mapping[str, str] | None = None) -> Form:
    """A job from a sheet of the library, or from one of the person's own."""
    own = [
        Field("library", "From which sheet", "pick", choices=[(one.id, one.title) for one in library.sheets()]),
        Field("sheet", "Or paste a sheet of your own", "long"),
        Field("scope", "How much of it", hint="Scopes of the sheet with commas between them. Empty: all of it."),
        Field("complaint", "What is wrong, in your words", "long"),
        Field("quote", "What a shop asks for it", "number"),
    ]
    return Form("job_opened", NEW_JOB, back, [*fields, *own], [Button("Open it", "done")], hidden or {})
