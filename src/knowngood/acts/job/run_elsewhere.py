"""What other jobs do to the same vehicle, for the run document: rows in its log, and what they mean for each step."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, replace
from typing import Any

from knowngood.acts.job.garage import Job
from knowngood.acts.job.standing import Assumed, against, checked_start
from knowngood.acts.job.vehicle_log import SAID, Elsewhere, Move, elsewhere
from knowngood.sheet.facts import WORDS, Fact, texts
from knowngood.sheet.model import Step
from knowngood.store.event import Event


def log_with(job: Job, own: Sequence[tuple[Event, dict[str, Any]]], moves: Sequence[Move]) -> list[dict[str, Any]]:
    """Return the log of a run with what changed elsewhere at its place; without any of that, its own rows alone."""
    others = [move for move in moves if move.job != job.id or move.said]
    if not others or not job.started:
        return [row for _, row in own]
    places, began = job.state.arrived, job.state.started
    assert began is not None  # it is started
    rows = [(places[event.id], row) for event, row in own]
    steps = {event.id for event in job.state.done}
    for move in moves:
        mine = move.job == job.id and not move.said
        if mine and move.id in steps:
            continue  # its step stands in the log
        said = move.said and move.place > places[began.id]
        kind = "own" if mine else SAID if said else "elsewhere"
        rows.append((move.place, {"id": move.id, "kind": kind, "makes": list(move.makes), "ends": list(move.ends)}))
    return [row for _, row in sorted(rows, key=lambda pair: pair[0])]


def rows_against(job: Job, moves: Sequence[Move]) -> Mapping[str, Mapping[str, Any]]:
    """Return, for each step, which facts of others stand against it, and which facts it has the newest word on."""
    others = [move for move in moves if move.job != job.id or move.said]
    if not others:
        return {}
    now = elsewhere(moves, job.id)
    holds = {fact: move for move in others for fact in move.makes} | dict(now.holds)
    gone = {fact: move for move in others for fact in move.ends} | dict(now.gone)
    ever, stops = Elsewhere(holds, gone), checked_start(job)
    steps = [job.sheet.step(one) for one in job.run.standing]
    # A tap may say more of these.
    needed = {fact.text for step in steps for fact in step.needs if fact.holds and fact.word in WORDS}
    found = {}
    for step in steps:
        rows = against(Assumed.by(step), ever, {*holds, *needed}, {*gone, *needed})
        rows = [replace(row, stops=row.stops and stops) for row in rows]
        found[step.id] = {"against": [asdict(row) for row in rows], "touches": _touched(step)}
    return found


def _touched(step: Step) -> list[str]:
    bolts = [Fact("loose", one).text for one in (*step.loosen, *step.tighten)]
    return [*texts(step.makes), *(fact.text for fact in step.ends), *bolts]
