"""Book, Hand over and More."""

from functools import partial

from knowngood.acts.book import may_be_taken_back, sections
from knowngood.acts.faults.proofs import proofs_of
from knowngood.acts.hand_over import hand_over
from knowngood.acts.job.garage import Garage, Job
from knowngood.acts.job.photos import photos_of
from knowngood.web.pages.of_job import Page, frame, undo
from knowngood.web.parts.forms import Button, Field, Form, Kept
from knowngood.web.parts.notes import rows
from knowngood.web.parts.why_sections import proofs, watch_fields
from knowngood.web.server.failing import part


def book(garage: Garage, job: Job, kept: Kept | None) -> Page:
    """As found and as left, and the forms that close a job."""
    back = f"/job/{job.id}/book"
    watch = [
        Field("what", "What to keep an eye on", required=True),
        Field("until", "Until", hint="In words, such as the next oil change."),
        *watch_fields(),
    ]
    forms = [("Keep an eye on something", Form("watch_opened", f"job/{job.id}", back, watch))]
    if not job.state.finished:
        words = [Field("words", "In one sentence: how was it left?", "long")]
        if any(one.holds_up for one in proofs_of(job)):
            words.append(Field("watch_rest", "Keep an eye on what is not proved yet, and finish", "check"))
        close = Form("finished", f"job/{job.id}", back, words, [Button("Finish this job", "done")])
        forms.insert(0, ("Finish", close))
    else:
        forms.insert(0, ("Open it again", undo(job, job.state.finished.id, "Open it again", back)))
    if entries := may_be_taken_back(job):
        which = [Field("event", "Which entry", "pick", choices=entries, hint="It stays in the book as taken back.")]
        forms.append(("Take something back", Form("withdrawn", f"job/{job.id}", back, which, [Button("Take it back")])))
    shown = [{**form.shown(kept), "summary": title} for title, form in forms]
    for one in shown:
        one["open"] = bool(one["error"] or any(field["error"] for field in one["fields"]))
    if shown and not job.state.finished and job.run.finished:
        shown[0]["open"] = True
    state = "Finished." if job.state.finished else "Still open."
    told = {
        "sections": part("what was found and left", partial(sections, job), []),
        "photo_rows": part("the photos", lambda: rows(photos_of(job)), []),
        "proofs": part("what is still to prove", partial(proofs, job, kept), None),
    }
    return {**frame(garage, job, "book"), **told, "forms": shown, "summary": state}


def handover(garage: Garage, job: Job, _: Kept | None) -> Page:
    """One page for a mechanic who takes over."""
    return {**frame(garage, job, "handover"), "sections": hand_over(garage, job)}


def more(garage: Garage, job: Job, _: Kept | None) -> Page:
    """Every page that has no tab of its own on the phone."""
    names = {
        "why": ("Why", "what is wrong, and the quote"),
        "kit": ("Kit", "parts, fluids, tools"),
        "fluids": ("Fluids", "what went out and in"),
        "bolts": ("Bolts", "signed torques"),
        "book": ("Book", "as found, as left; the PDF"),
        "handover": ("Hand over", "one page for a mechanic"),
        "start": ("Before the start", "checks, and your manual's values"),
    }
    items = [{"href": f"/job/{job.id}/{page}", "label": label, "note": note} for page, (label, note) in names.items()]
    return {
        **frame(garage, job, "more"),
        "items": [*items, {"href": "/", "label": "Bench", "note": "all vehicles and jobs"}],
    }
