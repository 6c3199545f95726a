"""Entries that answer a question to the manual: as written, as taken over, or that it does not say."""

from typing import Any

from knowngood.acts.job.garage import Garage, Job
from knowngood.acts.job.manual import question_of
from knowngood.acts.record.entries import Draft, Entry
from knowngood.checks.answers import plain_answer
from knowngood.refusal import Refused, parsed
from knowngood.sheet.model import Ask

SILENT_TOO = (
    'You wrote "{typed}" here, and pressed "My manual does not say". Empty the field first, or press "Keep it".'
)
NOT_WHAT_WAS_SAID = 'You wrote "{typed}", and "Still right" is about "{value}". To correct it, press "Keep it".'
NOTHING = 'Nothing is written here. Write what your manual says, such as {like}, or press "My manual does not say".'
OTHER_ANSWER = "Another answer to this question has come in meanwhile. Reload the page, and look at that one."


def answered(garage: Garage, entry: Entry) -> list[Draft]:
    """What the manual says, for this job and for the vehicle.

    The entry's `typed` is the answer. `silent` says that the manual does not say, and `still`, the id of an answer of
    another job, that this one is still right.
    """
    job = garage.job(entry.of)
    name = entry.needed("ask", "which question this answers")
    ask = job.sheet.asks.get(name)
    if ask is None:
        raise Refused({"": f'This sheet does not ask "{name}". Reload the page.'})
    data = {**_asked(job, name, ask), **_answer(job, name, entry)}
    return [Draft("answered", data), Draft("answered", data, stream=f"vehicle/{job.vehicle_id}")]


def _asked(job: Job, name: str, ask: Ask) -> dict[str, Any]:
    """Which question it is, told so that the vehicle's other jobs can tell it from theirs."""
    question = question_of(job.sheet, name)
    about = {"sheet": question.sheet, "ask": name, "question": question.words, "kind": question.kind}
    return {**about, "same_as": ask.same_as, "job": job.id, "title": job.title}


def _answer(job: Job, name: str, entry: Entry) -> dict[str, Any]:
    """What was said: the words typed, None for a silent manual, and which other answer was confirmed by it."""
    known, typed, still = job.manual.get(name), entry.text("typed"), entry.text("still")
    shown = (known.said.answer or "") if known else ""
    if still:
        if known is None or known.said.id != still:
            raise Refused({"": OTHER_ANSWER})
        if typed not in ("", shown):
            raise Refused({"typed": NOT_WHAT_WAS_SAID.format(typed=typed, value=known.value)})
        return {"typed": shown, "answer": known.said.answer, "confirms": still}
    if entry.text("silent"):
        if typed not in ("", shown):
            raise Refused({"typed": SILENT_TOO.format(typed=typed)})
        return {"typed": "", "answer": None, "confirms": None}
    if not typed:
        raise Refused({"typed": NOTHING.format(like=job.sheet.asks[name].like)})
    sheet = job.reading.sheet
    assert sheet is not None  # a sheet with mistakes opens no job
    plain = parsed("typed", lambda: plain_answer(sheet, name, typed))
    return {"typed": typed, "answer": plain, "confirms": None}
