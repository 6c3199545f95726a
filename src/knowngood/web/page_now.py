"""Now: the one next step, with what it needs typed, and the two ways on: Done and Can't."""

from typing import Any

from knowngood.acts.garage import Garage, Job
from knowngood.acts.run import Standing, standing_open
from knowngood.sheet.model import AskRef, Step
from knowngood.store.event import Event
from knowngood.web.reading_form import reading_form

from knowngood.web import draw
from knowngood.web.forms import Button, Field, Form, Kept
from knowngood.web.pages import WHERE, Page, frame, undo

CANT = Button("Can't", "plain", "instead", "cant")


def now(garage: Garage, job: Job, kept: Kept | None, *, cant: bool = False) -> Page:
    """The page under the vehicle."""
    step = job.run.now
    page = {**frame(garage, job, "now"), "step": None, "cant": cant}
    page["run_json"] = draw.script_json(page["run"])
    page["undo_form"] = _undo_last(job, kept)
    page["note_form"] = note_form(job, step.id if step else "", kept)
    if step is None:
        return {**page, "nothing": _nothing(job)}
    back = f"/job/{job.id}/now"
    page["step"] = _step(job, step)
    page["judged"] = [draw.verdict(event.data) for limit in step.read for event in job.readings_of(limit)[-1:]]
    unread = [limit for limit in step.read if not job.readings_of(limit)]
    if cant:
        return {**page, "cant_form": _cant_form(job, step).shown(kept), "cant_next": CANT_NEXT}
    if unread:
        form = reading_form(garage, job, unread[0], back, step=step.id, bar=True)
        page["step_form"] = {**form.shown(kept), "buttons": [vars(CANT), vars(Button("Judge", "done"))]}
    else:
        page["step_form"] = _done_form(job, step, back).shown(kept)
        page["again_form"] = _again(garage, job, step, kept)
    page["ask_forms"] = [ask_form(job, ask, back, kept) for ask in _open_asks(job, step)]
    return page


CANT_NEXT = "The step is put off, not forgotten: it waits under Steps, and the next one that can be done comes up."


def _again(garage: Garage, job: Job, step: Step, kept: Kept | None) -> dict[str, Any] | None:
    if not step.read:
        return None
    return reading_form(garage, job, step.read[-1], f"/job/{job.id}/now", step=step.id).shown(kept)


def _step(job: Job, step: Step) -> dict[str, Any]:
    """The step in words."""
    done = job.run.progress.done.count(step.id)
    return {
        "do": step.do,
        "where": WHERE[step.zone.value],
        "number": list(job.run.standing).index(step.id) + 1,
        "round": done + 1,
        "rounds": step.repeat,
        "tools": step.tools,
        "cautions": step.cautions,
        "wait": step.wait.text if step.wait else None,
        "torques": [
            {"count": one.count, "name": one.name, "says": job.torque_text(name)}
            for name in step.tighten
            if (one := job.sheet.fasteners[name])
        ],
        "fit": [f"{job.sheet.parts[one].count} × {job.sheet.parts[one].name}" for one in step.fit],
        "fluid": _fluid_words(job, step),
    }


def _fluid_words(job: Job, step: Step) -> str | None:
    if step.fill:
        amount = step.fill.amount
        words = "the amount your manual states" if isinstance(amount, AskRef) else amount.text
        return f"{job.sheet.circuits[step.fill.circuit].name}: {words} in."
    return f"{job.sheet.circuits[step.drain].name} comes out: catch and measure it." if step.drain else None


def _done_form(job: Job, step: Step, back: str) -> Form:
    fields = []
    if step.decide:
        choices = list(step.decide.choices.items())
        fields.append(Field("choice", step.decide.question, "choice", choices=choices, required=True))
    if step.drain or step.fill:
        fields.append(
            Field("amount", "How much came out" if step.drain else "How much went in", "number", "L", half=True)
        )
        fields.append(Field("fluid_c", "The fluid is at", "number", "°C", half=True, signed=True))
    if step.tighten:
        fields.append(
            Field("exceptions", "Any bolt not as stated?", "text", hint="Empty: all of them as stated above.")
        )
    hidden = {"step": step.id}
    return Form("step_done", f"job/{job.id}", back, fields, [CANT, Button("Done", "done")], hidden, bar=True)


def _cant_form(job: Job, step: Step) -> Form:
    why = Field(
        "why", "What stops it", "text", hint="Such as: bolt will not move, part not here, no daylight.", required=True
    )
    buttons = [Button("Back", "plain", "instead", "back"), Button("Put it off", "done")]
    return Form("step_put_off", f"job/{job.id}", f"/job/{job.id}/now", [why], buttons, {"step": step.id}, bar=True)


def _open_asks(job: Job, step: Step) -> list[str]:
    """Questions to the manual that this step has and nobody has answered."""
    values: list[Any] = [job.sheet.fasteners[name].torque for name in step.tighten]
    values += [job.sheet.limits[name].band for name in step.read]
    values += [step.fill.amount] if step.fill else []
    asked = [value.ask for value in values if isinstance(value, AskRef)]
    return [ask for ask in dict.fromkeys([*step.ask, *asked]) if ask not in job.answers]


def ask_form(job: Job, ask: str, back: str, kept: Kept | None) -> dict[str, Any]:
    """A question to the owner's manual; no answer is an answer."""
    one = job.sheet.asks[ask]
    typed = Field("typed", one.question, hint=f"Such as {one.like}. Empty: my manual does not say.")
    form = Form("answered", f"job/{job.id}", back, [typed], hidden={"ask": ask})
    return {**form.shown(kept), "summary": f"Your manual: {one.question}"}


def note_form(job: Job, step: str, kept: Kept | None) -> dict[str, Any]:
    """A note, at a step or none."""
    words = Field("text", "What you noticed", "long", required=True)
    return Form("noted", f"job/{job.id}", f"/job/{job.id}/now", [words], hidden={"step": step}).shown(kept)


def _undo_last(job: Job, kept: Kept | None) -> dict[str, Any] | None:
    """Undo of the last thing done or put off."""
    last: Event | None = max([*job.state.done, *job.state.put_off], key=lambda event: event.seq or 0, default=None)
    if last is None:
        return None
    words = job.sheet.step(last.data["step"]).do
    return undo(job, last.id, f"Undo “{words}”", f"/job/{job.id}/now").shown(kept)


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
        words = "Every step left was put off or waits for a finding. Rest here only if nothing below is unsafe."
        items = [step.do for step in held] + standing_open(job.run)
        return {
            "title": "Nothing can be next",
            "words": words,
            "rows": items,
            "href": f"{at}/steps",
            "link": "See the steps",
        }
    words = "Every step is done. Close the job in the book."
    return {"title": "All steps done", "words": words, "href": f"{at}/book", "link": "Finish and print the book"}
