"""How the vehicle stands against what a job takes for true: stops and cautions, and the taps that settle them."""

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import TypeVar

from knowngood.acts.job.garage import Garage, Job
from knowngood.acts.job.run import Run, Standing, action
from knowngood.acts.job.vehicle_log import SAID, Elsewhere, Move, elsewhere, vehicle_standing
from knowngood.engine.planning.order import replay
from knowngood.sheet.facts import Fact, texts
from knowngood.sheet.model import Step, Zone
from knowngood.sheet.problem import Answer, Problem, Severity
from knowngood.sheet.standing import (
    DENIED_BY,
    INSTEAD,
    MUST_NOT_STAY,
    POSTURE,
    SET_UP,
    UNDER_DENIED_BY,
    implied_by,
    no_longer,
    so_again,
)
from knowngood.store.moment import moment_words
from knowngood.words import capital

Key = TypeVar("Key", str, tuple[str, str, str])
ALL_PUT_RIGHT = "All of that is put right again"


@dataclass(frozen=True)
class Against:
    """One fact that stands against a step, as long as the job itself does not know of it.

    Args:
        fact: The fact as a sheet writes it.
        gone: It no longer holds, and the step needs it; otherwise it holds, and the step denies it.
        stops: Done is refused; otherwise it is a caution.
        unless: Facts that say the same and more; with one of them this row is left out.
        group: One tap settles all rows of a group.
        found: How it stands.
        since: Since when.
        by: By which job.
        step: At which of its steps.
        why: What is taken for true instead.
    """

    fact: str
    gone: bool
    stops: bool
    unless: tuple[str, ...]
    group: str
    found: str
    since: str
    by: str
    step: str
    why: str


@dataclass(frozen=True)
class Assumed:
    """What a step, or the beginning of a job, takes for true."""

    says: str
    needs: tuple[str, ...] = ()
    makes: tuple[str, ...] = ()
    ends: tuple[str, ...] = ()
    under: bool = False

    @classmethod
    def by(cls, step: Step) -> "Assumed":
        """What a step takes for true."""
        needs, ends = (tuple(one.text for one in facts) for facts in (step.needs, step.ends))
        return cls(f"“{step.do}”", needs, texts(step.makes), ends, step.zone is Zone.UNDER)


# --- what stands against what -----------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Denied:
    """What a fact denies of a step, whether that stops it, and whether it is that the vehicle can be driven."""

    why: str
    stops: bool = True
    driven: bool = False


def _denied(assumed: Assumed, fact: Fact) -> _Denied | None:
    """What the step takes for true that this fact denies; None where it does not mind."""
    text = fact.text
    if text in assumed.ends or text in assumed.needs:
        return None  # the step deals with it
    if f"not {text}" in assumed.needs:
        return _Denied(f"{assumed.says} needs it otherwise")
    for said in map(Fact.read, (*assumed.needs, *(one for one in assumed.makes if one != "drivable"))):
        if said.holds and fact.word in DENIED_BY.get(said.word, ()):
            return _Denied(f"{assumed.says} takes it for {said.says}", driven=said.word == "drivable")
    if assumed.under and fact.word in (*UNDER_DENIED_BY, "raised"):
        alone = ", and a jack alone must not hold it" if fact.word == "raised" else ""
        return _Denied(f"{assumed.says} is done under it{alone}")
    if text in assumed.makes:
        return _Denied(f"{assumed.says} would do so again", stops=fact.word in POSTURE)
    return None


def against(assumed: Assumed, known: Elsewhere, holds: Iterable[str], gone: Iterable[str]) -> list[Against]:
    """Return what stands against a step among some facts, whether or not the job knows of it by itself.

    Args:
        assumed: What the step takes for true.
        known: Who says so.
        holds: Facts that hold by others.
        gone: Facts that others have ended.
    """
    rows = []
    for text in sorted(set(holds)):
        fact = Fact.read(text)
        if fact.word in MUST_NOT_STAY and (denied := _denied(assumed, fact)):
            unless = tuple(one.text for one in implied_by(fact))
            group = ALL_PUT_RIGHT if denied.driven and fact.word not in SET_UP else no_longer(fact)
            since = _since(known.holds.get(text))
            rows.append(Against(text, False, denied.stops, unless, group, fact.says, *since, denied.why))
    for text in sorted(set(gone) & set(assumed.needs)):
        fact = Fact.read(text)
        unless = tuple(one.text for one in implied_by(fact) if one.text in assumed.needs)
        why = f"{assumed.says} needs it" if text not in assumed.ends else "look first whether that is done already"
        found, since = f"no longer so: {fact.says}", _since(known.gone.get(text))
        rows.append(Against(text, True, text not in assumed.ends, unless, so_again(fact), found, *since, why))
    return rows


def said_together(rows: Sequence[Against]) -> str:
    """Return in words what stands against a step; a job, a step and a reason that rows share are said once.

    `static/replay.js` says the same.
    """
    return " ".join(_for_one_reason([row for row in rows if row.why == why]) for why in _each(row.why for row in rows))


def _for_one_reason(rows: Sequence[Against]) -> str:
    parts, by_before = [], ""
    for since, by, step in _each((row.since, row.by, row.step) for row in rows):
        found = ", ".join(_each(row.found for row in rows if (row.since, row.by, row.step) == (since, by, step)))
        parts.append(f"{found}{since}{by if by != by_before else ''}{step}")
        by_before = by
    return f"{capital('; '.join(parts))}; {rows[0].why}."


def _each(keys: Iterable[Key]) -> list[Key]:
    return list(dict.fromkeys(keys))


def _since(move: Move | None) -> tuple[str, str, str]:
    """Since when, by which job and at which of its steps; empty where nobody knows.

    Example:
        >>> _since(Move("a", 1, "hot", "Runs hot", "Lift it", "21 November 2026, 12:00"))[1:]
        (', by “Runs hot”', ' (“Lift it”)')
    """
    if move is None:
        return "", "", ""
    return f" since {move.when}", f", by “{move.title}”", f" (“{move.words}”)" if move.words else ""


def by_words(move: Move) -> str:
    """Since when, and by which job and step."""
    return "".join(_since(move))


def active(rows: Iterable[Against], known: Elsewhere, facts: Collection[str]) -> list[Against]:
    """Keep the rows that count now: what others know, and the job does not.

    `static/replay.js` keeps the same ones.
    """
    rows = list(rows)
    there = {*known.holds, *facts}
    return [
        row
        for row in rows
        if (row.gone and row.fact in known.gone and row.fact in facts and not set(row.unless) & set(known.gone))
        or (not row.gone and row.fact in known.holds and row.fact not in facts and not set(row.unless) & there)
    ]


# --- a job against its vehicle ----------------------------------------------------------------------------------------


def checked_start(job: Job) -> bool:
    """Was the vehicle's standing looked at when the job began? One that a former version began only gets cautions."""
    return job.state.started is None or "says" in job.state.started.data


def at_step(garage: Garage, job: Job, step: Step) -> list[Against]:
    """Return what stands against a step that is about to be done."""
    known = elsewhere(garage.moves_of(job.vehicle_id), job.id)
    return active(against(Assumed.by(step), known, known.holds, known.gone), known, job.run.facts)


def stops_at(garage: Garage, job: Job, step: Step) -> str:
    """Return why a step is not taken as done now; empty where nothing stands against it."""
    rows = [row for row in at_step(garage, job, step) if row.stops] if checked_start(job) else []
    if not rows:
        return ""
    return f"The vehicle stands otherwise. {said_together(rows)} Say on Now how it stands, then press Done again."


def standing_problems(garage: Garage, job: Job) -> list[Problem]:
    """Return what of the vehicle's standing is against a job: stops before its start, cautions in one that goes on."""
    found = list(_first_met(elsewhere(garage.moves_of(job.vehicle_id), job.id), job))
    groups: dict[str, list[tuple[str | None, Against]]] = {}
    for step, row in found:
        groups.setdefault(row.group, []).append((step, row))
    return [_problem(garage, job, group, rows) for group, rows in groups.items()]


def _first_met(known: Elsewhere, job: Job) -> Iterator[tuple[str | None, Against]]:
    """Each fact with the first step that it stands against; a step with `when` may never come, and waits."""
    run, holds = job.run, dict(known.holds)
    gone = dict(known.gone) if job.started else {}  # its start says anew what holds
    told: set[str] = set()
    facts = run.facts
    for step_id, assumed in _assumptions(job, run):
        left = Elsewhere(holds, gone)
        for row in active(against(assumed, known, holds, gone), left, facts):
            if row.fact not in told:
                told.add(row.fact)
                yield step_id, row
        for fact in (*assumed.ends, *assumed.makes):
            holds.pop(fact, None)
            gone.pop(fact, None)
        if step_id:
            facts = replay(facts, [action(job.sheet.step(step_id))])


def _assumptions(job: Job, run: Run) -> Iterator[tuple[str | None, Assumed]]:
    if not job.started:
        # Whether it can be driven counts where it is driven; whether it stands on the ground, from the start.
        says = (one.replace("drivable", "parked") for one in texts(job.sheet.start))
        yield None, Assumed("this job", tuple(dict.fromkeys(says)))
    for step_id, how in run.standing.items():
        step = job.sheet.step(step_id)
        if step.when is None and how in (Standing.NOW, Standing.LATER):
            yield step_id, Assumed.by(step)


def _problem(garage: Garage, job: Job, group: str, rows: Sequence[tuple[str | None, Against]]) -> Problem:
    first = rows[0][0]
    index = next((number for number, step in enumerate(job.sheet.steps) if step.id == first), None)
    line, column = job.reading.places.at(("start",) if index is None else ("steps", index))
    stops = not job.started and any(row.stops for _, row in rows)
    words = f"The vehicle stands otherwise. {said_together([row for _, row in rows])}"
    if stops:
        words += " Put it right there first, or say how it stands now."
    facts = "/".join(row.fact for _, row in rows)
    return Problem(
        f"stands otherwise, {group}", Severity.STOP if stops else Severity.CAUTION, job.reading.file, line, column,
        first, words, f"vehicle/{facts}", tuple(answers(garage, job, [row for _, row in rows])),
    )  # fmt: skip


# --- the taps ---------------------------------------------------------------------------------------------------------


def answers(garage: Garage, job: Job, rows: Sequence[Against]) -> list[Answer]:
    """Return the taps that settle the rows of one group: each says how the vehicle stands now."""
    gone, holds = ([row.fact for row in rows if row.gone is which] for which in (True, False))
    found = []
    if holds:
        found.append(_tap(rows[0].group, _all_of(garage, job, holds)))
    for text in gone:
        fact = Fact.read(text)
        found.append(_tap(so_again(fact), (), texts([fact])))
        if fact.word in SET_UP:
            found.append(_tap(no_longer(fact), _all_of(garage, job, [text])))
    return list(dict.fromkeys(found))


def _all_of(garage: Garage, job: Job, facts: Sequence[str]) -> tuple[str, ...]:
    """The facts that a tap ends: on its wheels it stands on no stand, jack or ramp at all."""
    if not {Fact.read(one).word for one in facts} & set(POSTURE):
        return tuple(facts)
    known = {*vehicle_standing(garage.moves_of(job.vehicle_id)), *job.run.facts, *facts}
    return tuple(sorted(one for one in known if Fact.read(one).word in POSTURE))


def _tap(words: str, ends: Sequence[str], makes: Sequence[str] = ()) -> Answer:
    instead = [fact for one in ends for fact in INSTEAD.get(Fact.read(one).word, ())]
    fields = {"ends": " ".join(ends), "makes": " ".join(dict.fromkeys([*makes, *instead])), "words": words}
    return Answer(words, "stands_now", tuple(fields.items()))


# --- what stands open, in words ---------------------------------------------------------------------------------------


def open_words(moves: Sequence[Move], *, but: str = "") -> list[str]:
    """Return what stands open on a vehicle, with job and step; `but` leaves one job's own out."""
    holds = {fact: move for fact, move in vehicle_standing(moves).items() if but == "" or move.job != but}
    return [f"{capital(Fact.read(fact).says)}{by_words(holds[fact])}" for fact in worth_saying(holds)]


def worth_saying(facts: Iterable[str]) -> list[str]:
    """Return facts without those that another of them implies."""
    known = list(facts)
    implied = {one.text for fact in known for one in Fact.read(fact).implied}
    return [fact for fact in known if fact not in implied]


def said_words(job: Job) -> list[str]:
    """Return how the vehicle was said to stand since a job was opened, with when and in which job."""
    return [
        f"{event.data['words']}: said on {moment_words(event.happened, job.zone)}, in “{event.data['title']}”"
        for event in job.vehicle.kept(SAID)
        if (event.seq or 0) > (job.state.opened.seq or 0 if job.state.opened else 0)
    ]
