"""What the manual says to a job's questions, and which job each answer comes from.

An answer belongs to a sheet, a question's short name, its words and its kind of answer. In another job of the same
vehicle it counts where all four are the same. Where only `same_as` and the kind are, it is offered, and counts once
the person has said that it is still right: then it is an answer of that job.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, tzinfo
from typing import NamedTuple

from knowngood.acts.job import planning
from knowngood.sheet.model import Sheet
from knowngood.store.event import Event
from knowngood.store.folds import JobState, VehicleState
from knowngood.store.moment import day_of
from knowngood.words import day_words


class Question(NamedTuple):
    """What tells one question to the manual from every other."""

    sheet: str
    ask: str
    words: str
    kind: str


@dataclass(frozen=True)
class Said:
    """An answer as it was given.

    Args:
        id: Of its event.
        question: To what.
        same_as: What the question has in common with those of other sheets; None when its sheet does not say.
        answer: None is "my manual does not say".
        job: Id of the job in which it was given.
        title: Of that job.
        day: When.
    """

    id: str
    question: Question
    same_as: str | None
    answer: str | None
    job: str
    title: str
    day: date


@dataclass(frozen=True)
class Known:
    """What is known of one question of a job.

    Args:
        said: The answer.
        here: It was given in this job.
        counts: It is an answer to this very question; otherwise it waits until the person says that it is still right.
    """

    said: Said
    here: bool
    counts: bool

    @property
    def value(self) -> str:
        """The answer in words."""
        return self.said.answer or "your manual does not say"

    @property
    def origin(self) -> str:
        """Which job it comes from, and when."""
        day = day_words(self.said.day)
        return f"written in this job on {day}" if self.here else f'from the job of {day}, "{self.said.title}"'


def question_of(sheet: Sheet, ask: str) -> Question:
    """The question that a sheet asks under a short name."""
    return Question(sheet.id, ask, sheet.asks[ask].question, sheet.asks[ask].answer.value)


def given_in(job_id: str, state: JobState, zone: tzinfo | None) -> list[Said]:
    """Every answer that was written in a job, oldest first.

    An older program kept the short name alone: it stood for what the sheet asked under that name at the time.
    """
    found, sheet, title = list[Said](), "", ""
    for event in state.kept("job_opened", "sheet_revised", "answered"):
        if event.kind == "answered":
            question, same_as = _asked(event, sheet)
            if question is not None:
                found.append(_said(event, question, same_as, job_id, title, zone))
            continue
        sheet = event.data["sheet"]
        title = event.data.get("title", title)
    return found


def given_to(
    vehicle: VehicleState,
    job_of: Callable[[str], str | None],
    state_of: Callable[[str], JobState],
    zone: tzinfo | None,
) -> tuple[Said, ...]:
    """Every answer that is kept for a vehicle, oldest first.

    Args:
        vehicle: Whose.
        job_of: Id of the job that an entry was made in. It is asked about answers that an older program kept; one whose
            question cannot be told any more is left out, and so it is asked again.
        state_of: How a job stands.
        zone: The garage's.
    """
    return tuple(_placed(vehicle.kept("answered"), job_of, state_of, zone))


def _placed(
    events: Iterable[Event],
    job_of: Callable[[str], str | None],
    state_of: Callable[[str], JobState],
    zone: tzinfo | None,
) -> Iterator[Said]:
    by_job: dict[str, dict[str, Said]] = {}
    for event in events:
        question, same_as = _asked(event, "")
        if question is not None:
            yield _said(event, question, same_as, event.data["job"], event.data["title"], zone)
        elif job := job_of(event.data.get("with", "")):
            if job not in by_job:
                by_job[job] = {said.id: said for said in given_in(job, state_of(job), zone)}
            if event.data["with"] in by_job[job]:
                yield by_job[job][event.data["with"]]


def _asked(event: Event, text: str) -> tuple[Question | None, str | None]:
    """The question that an answer belongs to, and what it has in common; None when that cannot be told.

    The sheet as written then is read for an answer of an older program alone: reading one takes a while.
    """
    data = event.data
    if data["question"] is not None:
        return Question(data["sheet"], data["ask"], data["question"], data["kind"]), data["same_as"]
    sheet = planning.read_sheet(text, "").sheet if text else None
    if sheet is None or data["ask"] not in sheet.asks:
        return None, None
    return question_of(sheet, data["ask"]), sheet.asks[data["ask"]].same_as


def _said(event: Event, question: Question, same_as: str | None, job: str, title: str, zone: tzinfo | None) -> Said:
    return Said(event.id, question, same_as, event.data["answer"], job, title, day_of(event.happened, zone))


def known(sheet: Sheet, here: Iterable[Said], of_vehicle: Iterable[Said]) -> dict[str, Known]:
    """What is known of each question of a sheet; one of which nothing is known is left out.

    A job's own answers come first, then the newest of the vehicle.
    """
    own = {said.question: said for said in here}
    others = list(of_vehicle)
    found: dict[str, Known] = {}
    for ask in sheet.asks:
        question, same_as = question_of(sheet, ask), sheet.asks[ask].same_as
        if question in own:
            found[ask] = Known(own[question], here=True, counts=True)
            continue
        fit = [said for said in others if said.question == question or _same(said, question, same_as)]
        if fit:
            found[ask] = Known(fit[-1], here=False, counts=fit[-1].question == question)
    return found


def _same(said: Said, question: Question, same_as: str | None) -> bool:
    """Do both sheets say that they ask for one thing?"""
    return same_as is not None and said.same_as == same_as and said.question.kind == question.kind


def counting(manual: Mapping[str, Known]) -> dict[str, str | None]:
    """What counts, by the question's short name; None is "my manual does not say"."""
    return {ask: one.said.answer for ask, one in manual.items() if one.counts}
