"""Now: the one next step, with what it needs typed, and the two ways on: Done and Can't."""

from functools import partial
from typing import Any

from knowngood.acts.faults.proofs import unproved_words
from knowngood.acts.fluids.at_window import counts_at, followed_at
from knowngood.acts.fluids.ledger import ledger
from knowngood.acts.fluids.words import pour_words, short_words
from knowngood.acts.job.fits import fitted, tools_words
from knowngood.acts.job.garage import Garage, Job
from knowngood.acts.job.photos import photos_of
from knowngood.acts.job.rest import before_leaving
from knowngood.acts.job.run import Standing, standing_open
from knowngood.acts.record.fits import FIELD
from knowngood.sheet.model import AskRef, Step
from knowngood.store.event import Event
from knowngood.web.pages.of_job import WHERE, Page, frame, undo
from knowngood.web.parts import draw, fluid_sections, notes, stands_otherwise, why_sections
from knowngood.web.parts.again import waiting
from knowngood.web.parts.fluid_fields import amount_fields, left_fields, mix_fields
from knowngood.web.parts.forms import Button, Field, Form, Kept
from knowngood.web.parts.leads_to import with_links
from knowngood.web.parts.manual_form import ask_form
from knowngood.web.parts.reading_form import reading_form
from knowngood.web.parts.size_field import size_field
from knowngood.web.parts.typed_last import with_typed
from knowngood.web.parts.why_plan import ask_next, looked
from knowngood.web.parts.window_panel import warmth_fields, window_panel
from knowngood.web.server.failing import each, part
from knowngood.web.server.worker import Worker

CANT = Button("Can't", "plain", "instead", "cant")


def now(garage: Garage, job: Job, kept: Kept | None, *, cant: bool = False, worker: Worker | None = None) -> Page:
    """The page under the vehicle."""
    open_ = job.started and not job.state.finished
    step = job.run.now if open_ else None
    page = {**frame(garage, job, "now"), "step": None, "cant": cant, "cant_next": CANT_NEXT}
    page["undo_form"] = _undo_last(job, kept)
    page["note_form"] = notes.note(f"job/{job.id}", f"/job/{job.id}/now", step=step.id if step else "").shown(kept)
    # For a phone that is cut off: each step that may come, and Can't, drawn already and put aside.
    ahead = [job.sheet.step(one) for one in job.run.standing] if open_ else []
    page["drawn"] = each((f"the card of “{one.do}”", partial(_drawn, garage, job, one)) for one in ahead)
    page["cant_form"] = _cant_form(job, step.id if cant and step else "STEP").shown(kept)
    back = f"/job/{job.id}/now"
    page["waiting"] = part("what is to be judged again", partial(waiting, garage, job, back, kept), [])
    if not cant:
        page["ask_next"] = part("what to find out next", partial(_ask_next, garage, job, worker), None)
    if step is None:
        return {**page, "nothing": _nothing(job)}
    page["step"] = _step(job, step)
    page["against"] = stands_otherwise.articles(garage, job, step, kept)
    if cant:
        return page
    page["weighed"] = part("what the part is worth", partial(_weighed, garage, job, step), None)
    page["photos"] = each(("a photo", partial(notes.shown, photo)) for photo in photos_of(job, step.id))
    last = {limit: job.readings_of(limit)[-1] for limit in step.read if job.readings_of(limit)}
    found = each(
        (f"what was read of {one.data['name']}", partial(_read, garage, job, step, one, kept)) for one in last.values()
    )
    page["judged"], page["again_forms"] = [one for one, _ in found], [form for _, form in found]
    unread = next((limit for limit in step.read if limit not in last), "")
    page["step_form"] = _part(garage, job, step, unread, kept)
    followed = followed_at(job, step)
    window = partial(window_panel, garage, job, followed, back, kept) if followed else None
    page["window"] = part("the window", lambda: _placed(step, window()), None) if window else None
    page["fluid"] = part("what the fluid needs here", partial(fluid_sections.at_step, garage, job, step), [])
    page["ask_forms"] = [ask_form(job, ask, back, kept) for ask in _open_asks(job, step)]
    return page


def _placed(step: Step, panel: dict[str, Any] | None) -> dict[str, Any] | None:
    """Above the step only where following the warmth is all there is to do: else the step's cautions come first."""
    follows = step.window and not (step.loosen or step.tighten)
    return panel and {**panel, "first": bool(panel["told"] and follows)}


def _weighed(garage: Garage, job: Job, step: Step) -> dict[str, Any] | None:
    return why_sections.at_step(garage, job, step.decide.id) if step.decide and step.decide.about else None


def _ask_next(garage: Garage, job: Job, worker: Worker | None) -> dict[str, Any] | None:
    return ask_next(job, looked(garage, job, worker, firm=False))


CANT_NEXT = "The step is put off, not forgotten: it waits under Steps, and the next one that can be done comes up."


def _drawn(garage: Garage, job: Job, step: Step) -> dict[str, Any]:
    """A step with all the forms that it can ask for, in their order: its readings, then Done."""
    parts = {limit: _part(garage, job, step, limit, None) for limit in (*step.read, "")}
    return {"id": step.id, "step": _step(job, step), "parts": parts}


def _part(garage: Garage, job: Job, step: Step, limit: str, kept: Kept | None) -> dict[str, Any]:
    """The form for one reading of a step; with no limit, the one that ends it."""
    back = f"/job/{job.id}/now"
    if not limit:
        return _done_form(garage, job, step, back).shown(kept)
    form = reading_form(garage, job, limit, back, step=step.id, bar=True)
    return {**form.shown(kept), "buttons": [vars(CANT), vars(Button("Judge", "done"))]}


def _read(
    garage: Garage, job: Job, step: Step, event: Event, kept: Kept | None
) -> tuple[dict[str, Any], dict[str, Any]]:
    """A reading's verdict, and the form that takes it again, to whose fields its remedies lead."""
    limit = event.data["limit"]
    form = reading_form(garage, job, limit, f"/job/{job.id}/now", step=step.id)
    again = with_typed(form, event, kept)
    summary = f"Read {event.data['name']} again" if len(step.read) > 1 else "Read it again"
    return with_links(draw.verdict(event.data), again), {**again, "summary": summary}


def _step(job: Job, step: Step) -> dict[str, Any]:
    """The step in words."""
    done = job.run.done.count(step.id)
    return {
        "id": step.id,
        "do": step.do,
        "where": WHERE[step.zone.value],
        "number": list(job.run.standing).index(step.id) + 1,
        "round": done + 1,
        "rounds": step.repeat,
        "tools": tools_words(job.sheet, [step], job.sizes),
        "cautions": [*job.cautions[step.id], *part("what is owed", partial(short_words, job, step), [])],
        "wait": {"text": step.wait.text, "minutes": step.wait.value} if step.wait else None,
        "torques": [
            {"count": one.count, "name": one.name, "says": job.torque_text(name)}
            for name in step.tighten
            if (one := job.sheet.fasteners[name])
        ],
        "fit": [f"{job.sheet.parts[one].count} × {job.sheet.parts[one].name}" for one in step.fit],
        "fluid": _fluid_words(job, step),
        "manual": [(job.sheet.asks[ask].question, answer) for ask in step.ask if (answer := job.answers.get(ask))],
    }


def _fluid_words(job: Job, step: Step) -> str | None:
    if step.fill:
        amount, circuit = step.fill.amount, step.fill.circuit
        words = "the amount your manual states" if isinstance(amount, AskRef) else amount.text
        pour = part("what is owed", lambda: pour_words(ledger(job, circuit)), "")
        return f"{job.sheet.circuits[circuit].name}: {pour or f'{words} in.'}"
    return f"{job.sheet.circuits[step.drain].name} comes out: catch and measure it." if step.drain else None


def _done_form(garage: Garage, job: Job, step: Step, back: str) -> Form:
    fields = []
    if step.decide:
        choices = list(step.decide.choices.items())
        told = why_sections.at_step(garage, job, step.decide.id) if step.decide.about else None
        hint = told["words"] if told else ""
        fields.append(Field("choice", step.decide.question, "choice", choices=choices, hint=hint, required=True))
        if step.decide.about:
            fields.append(Field("why", "Why", hint="Empty: because that is the advice. The book keeps both."))
    if step.drain or step.fill:
        fields += amount_fields(garage, job, "How much came out" if step.drain else "How much went in")
    if circuit := counts_at(job, step):
        fields += warmth_fields(job, circuit)
    fields += mix_fields([job.sheet.circuits[step.fill.circuit]] if step.fill else [])
    fields += left_fields(job, step)
    if step.tighten:
        fields.append(
            Field("exceptions", "Any bolt not as stated?", "text", hint="Empty: all of them as stated above.")
        )
    unsized = [one for one in fitted(step) if one not in job.sizes]
    fields += [size_field(FIELD + one, job.sheet.fasteners[one].name) for one in unsized]
    # Two phones that press Done on the same round have done it once.
    hidden = {"step": step.id, "round": str(job.run.done.count(step.id) + 1)}
    return Form("step_done", f"job/{job.id}", back, fields, [CANT, Button("Done", "done")], hidden, bar=True)


def _cant_form(job: Job, step_id: str) -> Form:
    why = Field(
        "why", "What stops it", "text", hint="Such as: bolt will not move, part not here, no daylight.", required=True
    )
    buttons = [Button("Back", "plain", "instead", "back"), Button("Put it off", "done")]
    return Form("step_put_off", f"job/{job.id}", f"/job/{job.id}/now", [why], buttons, {"step": step_id}, bar=True)


def _open_asks(job: Job, step: Step) -> list[str]:
    """Questions to the manual that this step has and nobody has answered."""
    values: list[Any] = [job.sheet.fasteners[name].torque for name in step.tighten]
    values += [job.sheet.limits[name].band for name in step.read]
    values += [step.fill.amount] if step.fill else []
    asked = [value.ask for value in values if isinstance(value, AskRef)]
    return [ask for ask in dict.fromkeys([*step.ask, *asked]) if ask not in job.answers]


def _undo_last(job: Job, kept: Kept | None) -> dict[str, Any]:
    """Undo of the last thing done or put off; without one it waits for the first."""
    back, last = f"/job/{job.id}/now", job.state.kept("step_done", "step_put_off")[-1:]
    if job.state.finished:
        return {**undo(job, job.state.finished.id, "Open it again", back).shown(kept), "nothing": False}
    label = f"Undo “{job.sheet.step(last[0].data['step']).do}”" if last else "Undo"
    shown = undo(job, last[0].id if last else "LAST", label, back).shown(kept)
    return {**shown, "nothing": not last}


def _nothing(job: Job) -> dict[str, Any]:
    """What to say when no step is next."""
    at = f"/job/{job.id}"
    if job.state.finished:
        return {"title": "Finished", "words": "This job is closed.", "href": f"{at}/book", "link": "Open the book"}
    if not job.started:
        words = "The plan is ready; the checks and your manual's values come first."
        return {"title": "Not started yet", "words": words, "href": f"{at}/start", "link": "Before the start"}
    held = [step for step in job.run.left if job.run.standing[step.id] in (Standing.PUT_OFF, Standing.WAITING)]
    if held:
        return {**_rest(job, held), "href": f"{at}/steps", "link": "See the steps"}
    title, rows = unproved_words(job)
    if title and job.sheet.suspects:
        words = "Every step is done. Look under Why for what is next."
        return {"title": title, "words": words, "rows": rows, "href": f"{at}/why", "link": "See why"}
    if title:
        words = "Every step is done. Prove it, or keep an eye on it, in the book."
        return {"title": title, "words": words, "rows": rows, "href": f"{at}/book", "link": "Open the book"}
    words = "Every step is done. Close the job in the book."
    return {"title": "All steps done", "words": words, "href": f"{at}/book", "link": "Finish and print the book"}


def _rest(job: Job, held: list[Step]) -> dict[str, Any]:
    """Every step left was put off or waits: what makes it safe to stop, what stands open, what is held up."""
    first = before_leaving(job.run.facts)
    safe = "it is safe to stop here" if not first else "make it safe, then stop"
    rows = [*first, *(f"Standing open: {words}" for words in standing_open(job.run))]
    rows += [f"{step.do}: {job.run.standing[step.id].value}" for step in held]
    words = "Every step left was put off or waits for a finding."
    return {"title": f"Nothing can be next: {safe}", "words": words, "rows": rows}
