"""A reading beside what holds now: what no longer stands of it, and the button that judges it again."""

from typing import Any

from knowngood.acts.job.garage import Garage, Job
from knowngood.acts.job.revised import mark_words, to_judge_again, why_again
from knowngood.store.event import Event
from knowngood.web.parts import draw
from knowngood.web.parts.forms import Button, Form, Kept


def judged_shown(garage: Garage, job: Job, event: Event, back: str, kept: Kept | None) -> dict[str, Any]:
    """Return a reading's verdict as it was told, with its mark."""
    return {**draw.verdict(event.data), **marked(garage, job, event, back, kept)}


def marked(garage: Garage, job: Job, event: Event, back: str, kept: Kept | None) -> dict[str, Any]:
    """Return the words of a reading's mark, and the form where it may be judged again."""
    counts = any(one.id == event.id for one in job.state.counting)
    why = why_again(garage, job, event) if counts and not job.state.finished else ""
    words = mark_words(job, event)
    words = words if not why or why in words else f"{words} {why}".strip()
    return {"words": words, "again": _form(job, event, back).shown(kept) if why else None}


def waiting(garage: Garage, job: Job, back: str, kept: Kept | None) -> list[dict[str, Any]]:
    """Return every mark of an open job whose old verdict decides nothing until it is judged again."""
    return [{"name": event.data["name"], **marked(garage, job, event, back, kept)} for event in to_judge_again(job)]


def _form(job: Job, event: Event, back: str) -> Form:
    button = Button("Judge it again", "done")
    return Form("reading_judged", f"job/{job.id}", back, (), [button], {"again": event.id})
