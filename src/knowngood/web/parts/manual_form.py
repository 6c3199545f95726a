"""Questions to the owner's manual as forms: to answer, to confirm what another job was told, to change."""

from collections.abc import Sequence
from typing import Any

from knowngood.acts.job.garage import Job
from knowngood.acts.job.manual import Known
from knowngood.acts.job.planning import asks_of
from knowngood.sheet.model import Ask
from knowngood.web.parts.forms import Button, Field, Form, Kept
from knowngood.words import capital

SILENT = Button("My manual does not say", "quiet", "silent", "yes")


def ask_form(job: Job, ask: str, back: str, kept: Kept | None) -> dict[str, Any]:
    """A question to the owner's manual, with what is known of it in the field."""
    question, known = job.sheet.asks[ask], job.manual.get(ask)
    value = (known.said.answer or "") if known else ""
    typed = Field("typed", question.question, hint=_hint(question, known), value=value)
    confirm = [Button("Still right", "done", "still", known.said.id)] if known and not known.counts else []
    keep = Button("Keep it", "plain" if confirm else "done")
    form = Form("answered", f"job/{job.id}", back, [typed], [*confirm, keep, SILENT], {"ask": ask})
    return {**form.shown(kept), "summary": f"Your manual: {question.question}"}


def _hint(question: Ask, known: Known | None) -> str:
    """What an answer looks like; where another sheet's job was told, what, when and to which words."""
    like = f"Such as {question.like}."
    if known is None or known.counts:
        return like
    asked = "" if known.said.question.words == question.question else f', asked there as "{known.said.question.words}"'
    return f"{capital(known.value)}, {known.origin}{asked}: still right? {like}"


def _where(steps: Sequence[str]) -> str:
    """The first step that it is for; more would bury the question."""
    more = f", and {len(steps) - 1} more" if len(steps) > 1 else ""
    return f"For: {steps[0]}{more}"


def open_rows(job: Job, back: str, kept: Kept | None) -> list[dict[str, Any]]:
    """Questions of the chosen scope that are still open, each with its steps and its form."""
    needed = {ask: steps for ask, steps in asks_of(job.sheet, job.scope).items() if ask not in job.answers and steps}
    return [
        {
            "question": job.sheet.asks[ask].question,
            "where": _where([job.sheet.step(step).do for step in steps]),
            "form": ask_form(job, ask, back, kept),
        }
        for ask, steps in needed.items()
    ]


def answered_rows(job: Job, back: str, kept: Kept | None) -> list[dict[str, Any]]:
    """Questions that are answered, each with its value, where that comes from, and a form to change it."""
    return [
        {
            "question": job.sheet.asks[ask].question,
            "value": known.value,
            "origin": f"{capital(known.origin)}.",
            "form": ask_form(job, ask, back, kept),
        }
        for ask, known in job.manual.items()
        if known.counts
    ]
