"""Before the start: what the manual must say, and what the checks found."""

from typing import Any

from knowngood.acts.cautions.equipment import not_asked
from knowngood.acts.job.garage import Garage, Job
from knowngood.acts.job.problems import open_problems
from knowngood.sheet.problem import Problem, Severity
from knowngood.web.pages.of_job import Page, frame
from knowngood.web.parts.equipment_fields import equipment_form
from knowngood.web.parts.forms import Button, Field, Form, Kept
from knowngood.web.parts.manual_form import answered_rows, open_rows
from knowngood.web.parts.stands_otherwise import answer_form


def start(garage: Garage, job: Job, kept: Kept | None) -> Page:
    """What the manual must say and what the checks found, before the first bolt is loosened."""
    back = f"/job/{job.id}/start"
    asks, answered = open_rows(job, back, kept), answered_rows(job, back, kept)
    problems = open_problems(garage, job)
    found = [_problem(job, one, kept) for one in sorted(problems, key=_rank)]
    button = Form("started", f"job/{job.id}", f"/job/{job.id}/now", buttons=[Button("Start the job", "done")])
    stops = sum(one.severity == "stop" for one in problems)
    words = f"{len(asks)} to look up, {stops} against starting." if not job.started else "The job has started."
    open_ = not_asked(job.vehicle)
    page: dict[str, Any] = {"asks": asks, "answered": answered, "found": found, "summary": words}
    page["equipment_form"] = equipment_form(job, open_).shown(kept) if open_ else None
    return {**frame(garage, job, "start"), **page, "start_form": None if job.started else button.shown(kept)}


def _rank(problem: Problem) -> tuple[int, bool]:
    """What stands against the start comes first, and of that what one tap settles; else as the sheet has it."""
    return list(Severity).index(problem.severity), not problem.answers


def _problem(job: Job, one: Problem, kept: Kept | None) -> dict[str, Any]:
    reason = Field("reason", "Why you go on all the same", required=True)
    form = Form(
        "overruled", f"job/{job.id}", f"/job/{job.id}/start", [reason], [Button("Overrule it", "quiet")],
        {"problem": one.key},
    )  # fmt: skip
    shown = form.shown(kept) if one.severity == "stop" and not job.started else None
    answers = [answer_form(job, answer, f"/job/{job.id}/start").shown(kept) for answer in one.answers]
    severity = Severity.CAUTION if job.started and one.severity is Severity.STOP else one.severity
    return {"severity": str(severity), "message": one.message, "form": shown, "answers": answers}
