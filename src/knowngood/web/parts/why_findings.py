"""What was found about a fault, and the forms for more: first actions, what a test showed, whether a repair helped."""

from typing import Any

from knowngood.acts.faults.checked_again import GONE
from knowngood.acts.faults.first_actions import (
    BY_KEY,
    NOTED,
    SKIPPED,
    Code,
    FirstAction,
    codes_of,
    first_actions,
    first_told,
)
from knowngood.acts.faults.found import STILL_THERE, SURE, SUREST
from knowngood.acts.faults.suspects import Evidence, Suspected
from knowngood.acts.faults.why_words import SHOWS, likelier_words, shows_words
from knowngood.acts.job.garage import Job
from knowngood.checks.chances import outcomes_of
from knowngood.engine.judgement import percent
from knowngood.engine.troubleshooting.model.codes import Status
from knowngood.store.event import Event
from knowngood.web.pages.of_job import undo
from knowngood.web.parts.forms import Button, Field, Form, Kept
from knowngood.words import capital

STATUSES = [("", "it does not say"), *((one.value, one.value) for one in Status)]
NOTED_BY_HAND = ("finding_noted", "code_noted")


def first(job: Job, kept: Kept | None) -> list[dict[str, Any]]:
    """What is to be done before the first test and was not noted yet, each with its form."""
    return [
        {**_first_form(job, one).shown(kept), "summary": one.name, "why": one.why}
        for one in first_actions(job)
    ]  # fmt: skip


def _first_form(job: Job, one: FirstAction) -> Form:
    field = Field("text", "What you found", "long", hint=f"Such as: {one.like}.")
    buttons = [Button("Skip it", "plain", "outcome", SKIPPED), Button("Keep it", "done", "outcome", NOTED)]
    return Form("finding_noted", f"job/{job.id}", _back(job), [field], buttons, {"test": one.key})


def codes(job: Job, kept: Kept | None) -> dict[str, Any]:
    """What was asked first and trouble codes, as written down, and the form for one more code."""
    fields = [
        Field("code", "Trouble code", hint="Such as P0335.", required=True),
        Field("status", "How the tool lists it", "pick", choices=STATUSES),
        Field("conditions", "What is stored with it", "long", hint="Such as 80 °C, 2100 rpm, 60 km/h."),
        Field("manual", "What your manual says of it", "long"),
    ]  # fmt: skip
    form = Form("code_noted", f"job/{job.id}", _back(job), fields)
    told = [_told(job, key, event, kept) for key, event in first_told(job).items()]
    return {"rows": [*told, *(_code(job, one, kept) for one in codes_of(job))], "form": form.shown(kept)}


def _told(job: Job, key: str, event: Event, kept: Kept | None) -> dict[str, Any]:
    words = event.data["text"] or "skipped"
    return {
        "name": BY_KEY[key].about,
        "words": words,
        "undo": undo(job, event.id, "Take it back", _back(job)).shown(kept),
    }


def _code(job: Job, one: Code, kept: Kept | None) -> dict[str, Any]:
    stored = f"Stored with it: {one.conditions}." if one.conditions else "Nothing is noted of what is stored with it."
    status = f"{capital(one.status)}." if one.status else ""
    said = [status, stored, f"Your manual: {one.manual}" if one.manual else ""]
    form = undo(job, one.event, "Take it back", _back(job)).shown(kept) if one.event else None
    name, _, structure = one.words.partition(": ")
    return {"name": name, "words": structure, "note": " ".join(words for words in said if words), "undo": form}


def rows(job: Job, found: Suspected, kept: Kept | None) -> list[dict[str, Any]]:
    """What was found so far, oldest first; what was noted here can be taken back here."""
    return [_row(job, found, one, kept) for one in found.evidence]


def _row(job: Job, found: Suspected, one: Evidence, kept: Kept | None) -> dict[str, Any]:
    event = job.state.entries.get(one.found.event)
    words = [shows_words(found.sheet, one.found.key, one.found.outcome)]
    words += [one.found.sure] if one.found.sure not in ("", SUREST) else []
    told_by = one.found.told_by
    note = (
        f"“{_read_name(found, told_by)}” sees the same thing and counts in its place." if told_by else one.found.words
    )
    if event is None:  # it came along from the job that this one goes on from
        note = f"{note} Found in the job before.".strip()
        return {"name": _read_name(found, one.found.key), "words": ", ".join(words), "note": note}
    by_hand = event.kind in NOTED_BY_HAND
    return {
        "name": _read_name(found, one.found.key),
        "words": ", ".join(words),
        "note": note,
        "undo": undo(job, event.id, "Take it back", _back(job)).shown(kept) if by_hand else None,
        "href": None if by_hand else f"/job/{job.id}/readings",
    }


def _read_name(found: Suspected, key: str) -> str:
    """What a finding is of: a verdict is of what was read, an answer is to what the test asks."""
    test = found.sheet.tests.get(key)
    answered = any(one.found.outcome in SHOWS for one in found.evidence if one.found.key == key)
    return found.names[key] if test is None or not test.limit or answered else found.sheet.limits[test.limit].name


def moved_by(found: Suspected, suspect: str) -> list[dict[str, str]]:
    """Which findings moved a suspect, and how far."""
    told = [(one, weight) for one in found.evidence if (weight := one.weight_on(suspect)) is not None]
    return [
        {
            "name": f"{_read_name(found, one.found.key)}: {shows_words(found.sheet, one.found.key, one.found.outcome)}",
            "words": f"{percent(weight.before)} → {percent(weight.after)}, {likelier_words(weight)}",
        }
        for one, weight in told
    ]


def forms(job: Job, found: Suspected, ahead: tuple[str, ...], kept: Kept | None) -> list[dict[str, Any]]:
    """The form of each test and repair that is still open; those of the best next thing stand first.

    Args:
        job: The job.
        found: What could be wrong.
        ahead: Keys of the best next test or repairs.
        kept: A form that came back.
    """
    if found.left is None:
        return []
    # What came along from the job before may be looked at anew.
    told = {one.found.key for one in found.evidence if one.found.event in job.state.entries}
    tests = [(key, _test_form(job, key)) for key in found.sheet.tests if key not in told]
    repairs = [(key, _repair_form(job, key)) for key in found.sheet.repairs if key not in told]
    made = [_shown(job, found, key, form, ahead, kept) for key, form in (*tests, *repairs)]
    return sorted(made, key=lambda one: not one["ahead"])


def _shown(
    job: Job, found: Suspected, key: str, form: Form, ahead: tuple[str, ...], kept: Kept | None
) -> dict[str, Any]:
    test = found.sheet.tests.get(key)
    limit = job.sheet.limits[test.limit].name if test is not None and test.limit else None
    beside = {"ahead": key in ahead, "limit": limit, "href": f"/job/{job.id}/readings"}
    return {**form.shown(kept), "summary": found.names[key], **beside}


def _test_form(job: Job, key: str) -> Form:
    choices = [(one, capital(shows_words(job.sheet, key, one))) for one in outcomes_of(job.sheet.tests[key])]
    fields = [
        Field("outcome", "What did it show?", "choice", choices=choices, required=True),
        Field("sure", "How sure are you?", "pick", choices=[(one, one) for one in SURE]),
        Field("text", "In your own words"),
    ]
    return Form("finding_noted", f"job/{job.id}", _back(job), fields, hidden={"test": key})


def _repair_form(job: Job, key: str) -> Form:
    choices = [(one, capital(shows_words(job.sheet, key, one))) for one in (STILL_THERE, GONE)]
    fields = [Field("outcome", "Done, and then?", "choice", choices=choices, required=True)]
    return Form("finding_noted", f"job/{job.id}", _back(job), fields, hidden={"test": key})


def _back(job: Job) -> str:
    return f"/job/{job.id}/why"
