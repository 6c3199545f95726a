"""What each page of a job says: plain data for its template."""

from collections.abc import Mapping
from functools import partial
from typing import Any

from markupsafe import Markup

from knowngood.acts.fluids.at_window import window_over
from knowngood.acts.job.garage import Garage, Job
from knowngood.acts.job.run import Standing, blocked_by, standing_open, to_undo
from knowngood.acts.job.run_document import document
from knowngood.acts.job.spent import spent
from knowngood.acts.job.standing import open_words
from knowngood.acts.readings.history import history
from knowngood.acts.readings.relations import compared_words
from knowngood.acts.tools.prices import money_words
from knowngood.report.pictures.wear import wear_picture
from knowngood.store.event import Event
from knowngood.web.parts.again import judged_shown
from knowngood.web.parts.forms import Button, Field, Form, Kept
from knowngood.web.parts.leads_to import with_links
from knowngood.web.parts.reading_form import reading_form
from knowngood.web.parts.typed_last import with_typed
from knowngood.web.server.failing import each, part

WHERE = {
    "around": "Around the vehicle",
    "inside": "Inside",
    "top": "Top",
    "wheel": "At a wheel",
    "under": "Under the vehicle",
}
Page = dict[str, Any]


def frame(garage: Garage, job: Job, page: str) -> Page:
    """What every page of a job carries: its name, the line of steps, what stands open."""
    run, moves = job.run, garage.moves_of(job.vehicle_id)
    open_ = [*standing_open(run), *open_words(moves, but=job.id)]
    return {
        "page": page,
        "job": {"id": job.id, "title": job.title, "vehicle": job.vehicle.name},
        "run": document(job, made=garage.now(), moves=moves),
        "aside": {"open": open_, "undo": to_undo(run), "money": costs(job)},
        "seq": job.seq,
        "clocks": [
            *(step.id for step in job.sheet.steps if step.wait and not _is_over(job, step.id)),
            *(circuit for circuit in job.sheet.circuits if not window_over(job, circuit)),
        ],
    }


def _is_over(job: Job, step_id: str) -> bool:
    """Has a step ended, so that no clock of it goes on?"""
    return bool(job.state.finished) or job.run.standing.get(step_id) in (Standing.DONE, Standing.RULED_OUT)


def costs(job: Job) -> dict[str, str]:
    """Spent, and the quote it is held against."""
    rows = {"Spent": money_words(spent(job))}
    return {**rows, "The quote": money_words(job.quote)} if job.quote is not None else rows


def steps(garage: Garage, job: Job, kept: Kept | None) -> Page:
    """Every step in order, and how it stands."""
    numbered = enumerate(job.run.standing, 1)
    rows = each((f"step {number}", partial(_step_row, job, step_id, number, kept)) for number, step_id in numbered)
    done = sum(row["state"] == "done" for row in rows)
    left = sum(step.time.values[1] for step in job.run.left)
    words = f"{done} of {len(rows)} done. About {left / 60:.1f} hours of work are left, waiting not counted."
    fields = [Field("sheet", "The whole sheet", "long", value=job.state.sheet), Field("why", "Why it changes")]
    revise = Form("sheet_revised", f"job/{job.id}", f"/job/{job.id}/steps", fields, [Button("Revise it", "done")])
    shown = None if job.state.finished else revise.shown(kept)
    return {**frame(garage, job, "steps"), "steps": rows, "summary": words, "revise_form": shown}


def _step_row(job: Job, step_id: str, number: int, kept: Kept | None) -> Page:
    step, how = job.sheet.step(step_id), job.run.standing[step_id]
    times = [f"{minutes:g}" for minutes in step.time.values]
    row = {
        "id": step.id,
        "number": number,
        "do": step.do,
        "where": WHERE[step.zone.value],
        "minutes": f"{times[0]}–{times[2]} min",
        "standing": how.value,
        "state": how.name.lower().replace("_", "-"),
        "cautions": () if how in (Standing.DONE, Standing.RULED_OUT) else job.cautions[step_id],
        "why": job.run.progress.put_off.get(step_id) if how is Standing.PUT_OFF else None,
        "notes": [f"Needs first: {', '.join(blocked_by(job.run, step))}."]
        if how is Standing.PUT_OFF and blocked_by(job.run, step)
        else [],
    }
    if how is Standing.PUT_OFF and not job.state.finished:
        event = next(one for one in job.state.put_off if one.data["step"] == step_id)
        row["form"] = undo(job, event.id, "Take it up again", f"/job/{job.id}/now").shown(kept)
    return row


def undo(job: Job, event_id: str, label: str, back: str) -> Form:
    """Take an entry back."""
    return Form("withdrawn", f"job/{job.id}", back, hidden={"event": event_id}, buttons=[Button(label, "quiet")])


def readings(garage: Garage, job: Job, kept: Kept | None) -> Page:
    """Every reading as it was told, the newest first, and a form to judge one more."""
    limits = job.sheet.limits.items()
    forms = dict(each((one.name, partial(_limit_form, garage, job, limit, kept)) for limit, one in limits))
    back = f"/job/{job.id}/readings"
    shown = partial(_judged, garage, job, forms=forms, back=back, kept=kept)
    judged = each((f"a reading of {one.data['name']}", partial(shown, one)) for one in reversed(job.readings))
    compared = part("how the readings compare", partial(compared_words, job.state.counting), [])
    beside = {"compared": compared, "histories": _histories(garage, job)}
    return {**frame(garage, job, "readings"), "judged": judged, "forms": list(forms.values()), **beside}


def _limit_form(garage: Garage, job: Job, limit: str, kept: Kept | None) -> tuple[str, dict[str, Any]]:
    form, last = reading_form(garage, job, limit, f"/job/{job.id}/readings"), job.readings_of(limit)[-1:]
    shown = with_typed(form, last[0] if last else None, kept)
    return limit, {**shown, "summary": f"Read: {job.sheet.limits[limit].name}"}


def _judged(
    garage: Garage, job: Job, event: Event, forms: Mapping[str, dict[str, Any]], back: str, kept: Kept | None
) -> dict[str, Any]:
    """A reading as it was told; what would settle it leads to the form of its limit."""
    taken = None if job.state.finished else undo(job, event.id, "Take this reading back", back).shown(kept)
    shown, form = judged_shown(garage, job, event, back, kept), forms.get(event.data["limit"] or "")
    return {**(with_links(shown, form) if form else shown), "undo": taken}


def _histories(garage: Garage, job: Job) -> list[dict[str, Any]]:
    """What was read on two days or more, over all jobs of the vehicle."""
    names = dict.fromkeys(event.data["name"] for event in job.readings)
    told = each((f"{name} over time", partial(history, garage, job.vehicle_id, name)) for name in names)
    return [
        {
            "name": one.name,
            "words": one.words,
            "picture_svg_phone": Markup(wear_picture(one, width=360)),
            "picture_svg_wide": Markup(wear_picture(one, width=640)),
        }
        for one in told
        if len({read.day for read in one.readings}) > 1
    ]
