"""What changed how a vehicle stands, over all its jobs: steps done, bolts signed, and what somebody said of it."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from knowngood.acts.job.planning import kept_sheet
from knowngood.sheet.facts import WORDS, Fact, texts
from knowngood.sheet.model import Sheet
from knowngood.sheet.standing import DENIED_BY, MUST_NOT_STAY
from knowngood.store.event import Event
from knowngood.store.states import JobState, VehicleState

SAID = "stands_now"


@dataclass(frozen=True)
class Move:
    """One change of how a vehicle stands.

    Args:
        id: Of its event.
        place: Its place among all changes of the vehicle.
        job: Id of the job in which it was made or said.
        title: Of that job.
        words: The step, or what was said; empty for the beginning of the job.
        when: When: the moment as its event has it, and in words once the index hands it out.
        makes: Facts that hold since.
        ends: Facts that no longer do.
        said: Somebody said so; no step did it.
    """

    id: str
    place: int
    job: str
    title: str
    words: str
    when: str
    makes: tuple[str, ...] = ()
    ends: tuple[str, ...] = ()
    said: bool = False


@dataclass(frozen=True)
class Elsewhere:
    """What other jobs know of the vehicle, each with the newest change that says so.

    Args:
        holds: Facts that hold by another job, or because somebody said so.
        gone: Facts that another job ended, or of which somebody said that they no longer hold.
    """

    holds: Mapping[str, Move]
    gone: Mapping[str, Move]


def moves_said(vehicle: VehicleState) -> list[Move]:
    """What somebody said of how a vehicle stands, oldest first."""
    return [_said(event, vehicle.arrived[event.id]) for event in vehicle.kept(SAID)]


def _said(event: Event, place: int) -> Move:
    data, own = event.data, event.data.get("with", event.id)
    return Move(own, place, data["job"], data["title"], data["words"], event.happened, tuple(data["makes"]),
                tuple(data["ends"]), said=True)  # fmt: skip


def moves_in(job_id: str, state: JobState) -> Iterator[Move]:
    """Every change that a job made to its vehicle, in its own order."""
    if state.opened is None:
        return
    title, places = str(state.opened.data["title"]), state.arrived
    sheet = kept_sheet(state.sheet, str(state.opened.data["sheet_file"])).sheet
    assert sheet is not None  # a sheet with mistakes opens no job
    for event in state.kept("started", "step_done", "bolts_signed"):
        words, makes, ends = _changed(sheet, event)
        if makes or ends:
            own = event.data.get("with", event.id)  # taken back together
            yield Move(own, places[event.id], job_id, title, words, event.happened, makes, ends)


def _changed(sheet: Sheet, event: Event) -> tuple[str, tuple[str, ...], tuple[str, ...]]:
    """What happened in words, the facts that it made, and those that it ended; words of the sheet's own are its own."""
    if event.kind == "started":
        return "", _known(texts(sheet.start)), ()
    if event.kind == "bolts_signed":
        return "Signed", (), (Fact("loose", event.data["fastener"]).text,)
    step = next((one for one in sheet.steps if one.id == event.data["step"]), None)
    if step is None:
        return "", (), ()
    loosened = [Fact("loose", one).text for one in step.loosen]
    makes = _known([*texts(step.makes), *loosened])
    words = {Fact.read(one).word for one in makes}
    # What another fact of the step denies is as it was once that one is gone: drivable, once it is down again.
    back = {word for word, by in DENIED_BY.items() if word not in MUST_NOT_STAY and words & set(by)}
    return step.do, makes, _known(fact.text for fact in step.ends if fact.word not in back)


def _known(facts: Iterable[str]) -> tuple[str, ...]:
    return tuple(one for one in facts if Fact.read(one).word in WORDS)


def vehicle_standing(moves: Sequence[Move]) -> dict[str, Move]:
    """Return what holds about a vehicle and must not stay so, with the change since which it does."""
    holds: dict[str, Move] = {}
    for move in moves:
        for fact in move.ends:
            holds.pop(fact, None)
        for fact in move.makes:
            holds.setdefault(fact, move)
    return {fact: move for fact, move in holds.items() if must_not_stay(fact)}


def must_not_stay(fact: str) -> bool:
    """Is it a fact that no vehicle is left with?"""
    return Fact.read(fact).word in MUST_NOT_STAY


def elsewhere(moves: Sequence[Move], job_id: str) -> Elsewhere:
    """Return what a job did not do itself: its own newer step is the newest word on a fact."""
    holds, gone = dict[str, Move](), dict[str, Move]()
    for move in moves:
        own = move.job == job_id and not move.said
        for fact in move.ends:
            holds.pop(fact, None)
            if own:
                gone.pop(fact, None)
            else:
                gone[fact] = move
        for fact in move.makes:
            gone.pop(fact, None)
            if own:
                holds.pop(fact, None)
            else:
                holds.setdefault(fact, move)
    return Elsewhere(holds, gone)
