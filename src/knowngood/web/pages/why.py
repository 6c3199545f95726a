"""Why: what is wrong, and what is worth doing: suspects before and after the tests, and the one best next thing."""

from functools import partial
from typing import Any

from markupsafe import Markup

from knowngood.acts.faults.suspects import Suspect, Suspected
from knowngood.acts.job.garage import Garage, Job
from knowngood.acts.job.spent import costs_of, left_words
from knowngood.report.pictures.suspects import Suspicion, suspect_picture
from knowngood.web.pages.of_job import Page, costs, frame
from knowngood.web.parts import draw, why_findings, why_firm, why_plan
from knowngood.web.parts.forms import Field, Form, Kept
from knowngood.web.parts.why_plan import Looked, looked
from knowngood.web.parts.why_sections import SECTIONS
from knowngood.web.server.failing import each
from knowngood.web.server.worker import Worker
from knowngood.words import capital


def why(garage: Garage, job: Job, kept: Kept | None, *, worker: Worker | None = None) -> Page:
    """The complaint, the one advice, the suspects, what was found, and the money against the quote."""
    at = looked(garage, job, worker)
    found = at.found
    page = {
        "complaint": job.opened["complaint"] or "No complaint was written down.",
        "advice": why_plan.advice(job, at),
        "begun": job.started,
        "version": why_plan.version(at),
        "plan": why_plan.whole(at),
        "first": why_findings.first(job, kept),
        "codes": why_findings.codes(job, kept),
        "sections": each(("a part of what to decide", partial(made, garage, job, at, kept)) for made in SECTIONS),
        "spent": spent(job, kept),
        "needs_quote": found is not None and found.gone_by is None and at.plan is None,
    }
    page |= _unknown(job) if found is None else _suspects(job, at, found, kept)
    return {**frame(garage, job, "why"), **page}


def _unknown(job: Job) -> Page:
    """Without suspects, or with findings that contradict each other, the readings stand for themselves."""
    nothing: Page = dict.fromkeys(("suspects", "found", "forms", "word", "firm"))
    return {**nothing, "readings": [draw.finding(one.data) for one in job.readings]}


def _suspects(job: Job, at: Looked, found: Suspected, kept: Kept | None) -> Page:
    ahead = at.plan.next.keys if at.plan else ()
    return {
        "suspects": [_suspect(found, one) for one in found.likeliest],
        "found": why_findings.rows(job, found, kept),
        "forms": why_findings.forms(job, found, ahead, kept),
        "readings": [],
        "word": why_firm.word(job, found, at.firm, kept),
        "firm": why_firm.rows(found, at.firm),
        "assumed": found.assumed,
    }


def _suspect(found: Suspected, one: Suspect) -> dict[str, Any]:
    view = Suspicion(capital(one.name), one.before, one.after if found.evidence else None)
    return {
        "picture_svg_phone": Markup(suspect_picture(view, width=360)),
        "picture_svg_wide": Markup(suspect_picture(view, width=640)),
        "moved": why_findings.moved_by(found, one.key),
    }


def _paid_fields(job: Job) -> list[Field]:
    parts = [("", "None of these"), *((key, part.name) for key, part in job.sheet.parts.items())]
    hint = "Then this stands in place of its stated price."
    which = [Field("part", "Which part it was", "pick", choices=parts, hint=hint)] if job.sheet.parts else []
    return [
        Field("what", "What for", required=True),
        Field("amount", "How much", "number", required=True),
        *which,
    ]


def spent(job: Job, kept: Kept | None) -> dict[str, Any]:
    """What was spent against the quote, and the form for more."""
    form = Form("paid", f"job/{job.id}", f"/job/{job.id}/why", _paid_fields(job))
    words, paid = left_words(job), [one.words for one in costs_of(job)]
    asked = Field("quote", "What a shop asks, or the most you would pay", "number", required=True)
    stated = Form("quote_stated", f"job/{job.id}", f"/job/{job.id}/why", [asked])
    return {"costs": costs(job), "words": words, "paid": paid, "form": form.shown(kept), "quote": stated.shown(kept)}
