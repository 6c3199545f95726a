"""The run as one plain document: all that a page, or a phone without connection, needs to go on by itself."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import Any

from knowngood.acts.cautions.said import cautions_of
from knowngood.acts.fluids.at_window import ends_of_windows
from knowngood.acts.job.fits import tools_words
from knowngood.acts.job.garage import OUTCOMES, Job
from knowngood.acts.job.rest import before_leaving, rules
from knowngood.acts.job.run import Run, Standing, is_set_up, standing_open, to_undo, undone
from knowngood.acts.job.run_elsewhere import log_with, rows_against
from knowngood.acts.job.torques import torque_words
from knowngood.acts.job.vehicle_log import Move
from knowngood.engine.planning.order import replay
from knowngood.sheet.facts import WORDS, Fact, texts
from knowngood.sheet.model import AskRef, Sheet, Step, WhenDecided, WhenLimit
from knowngood.store.event import Event

# What moves the run on, and which of its words the run depends on.
MOVES = ("step_done", "step_put_off", "decided")
SAYS = ("step", "why", "decision", "choice", "limit")


def document(job: Job, *, made: str, moves: Sequence[Move] = ()) -> dict[str, Any]:
    """Return the run as plain JSON; `moves` is what changed how its vehicle stands, over all jobs.

    `static/replay.js` goes on from it by the same rules as `acts/job/run.py`: `start` and `log` give the facts and what
    is done, `steps` what each needs, `rest` what may not be left alone.
    """
    plan = steps_and_rules(job.run, job.cautions)
    rows = rows_against(job, moves) if job.started else {}
    tools = {step.id: tools_words(job.sheet, [step], job.sizes) for step in job.sheet.steps}
    plan["steps"] = [{**step, "tools": tools[step["id"]], **rows.get(step["id"], {})} for step in plan["steps"]]
    return {
        "run": 1,
        "job": job.id,
        "title": job.title,
        "vehicle": job.vehicle.name,
        "made": made,
        "windows": ends_of_windows(job),
        "log": log_with(job, [(event, _moved(job, event)) for event in _moves(job)], moves),
        **(plan if job.started and not job.state.finished else {**plan, "now": None}),
    }


def steps_and_rules(run: Run, cautions: Mapping[str, tuple[str, ...]] | None = None) -> dict[str, Any]:
    """Return the part of the document that follows from the run alone.

    Args:
        run: The run as it stands.
        cautions: Of each step; None for those of a vehicle of which nothing is known.
    """
    said = cautions_of(run.sheet, tuple(run.standing), {}) if cautions is None else cautions
    steps = [run.sheet.step(one) for one in run.standing]
    start = texts(run.sheet.start)
    needed = (fact.text for step in steps for fact in step.needs if fact.holds)  # somebody may say that it is so again
    made = (fact for step in steps for fact in texts(step.makes))
    facts = {*start, *run.facts, *made, *needed, *(fact for stood in run.progress.said for fact in stood.makes)}
    return {
        "now": run.now.id if run.now else None,
        "start": list(start),
        "facts": sorted(run.facts),
        "standing_open": standing_open(run),
        "to_undo": to_undo(run),
        "open_words": _open_words(facts),
        "rest": [asdict(rule) for rule in rules(facts)],
        "undone": _undone(run.sheet, facts),
        "steps": _steps(run, steps, said),
    }


def _undone(sheet: Sheet, facts: set[str]) -> dict[str, Mapping[str, Any]]:
    """What falls with each fact that somebody may say holds no longer."""
    return {fact: asdict(undone(sheet, fact)) for fact in sorted(facts) if is_set_up(fact)}


def _moves(job: Job) -> list[Event]:
    """What moved the run on, in order; of a reading judged again its newest judgement, where it was read."""
    return sorted((*job.state.kept(*MOVES), *job.state.counting), key=lambda event: job.state.places[event.id])


def _moved(job: Job, event: Event) -> dict[str, Any]:
    """One thing that happened; what came along with a step carries the step's id, for both are taken back together."""
    row = {name: event.data[name] for name in SAYS if event.data.get(name)}
    kind = "read" if event.kind.startswith("reading") else event.kind
    if kind == "read" and job.stands(event):
        row["outcome"] = OUTCOMES[event.data["judgement"]["verdict"]].value
    return {"id": event.data.get("with", event.id), "kind": kind, **row}


def _open_words(facts: set[str]) -> dict[str, str]:
    """What to call each fact that must not stay so."""
    known = {text: Fact.read(text) for text in sorted(facts)}
    return {
        text: fact.says for text, fact in known.items() if fact.word in WORDS and not WORDS[fact.word].stands_at_end
    }


def _steps(run: Run, steps: list[Step], cautions: Mapping[str, tuple[str, ...]]) -> list[dict[str, Any]]:
    """Each step in the plan's order; after which of them it is safe to stop follows from those before it."""
    rows, facts = [], frozenset(texts(run.sheet.start))
    for number, step in enumerate(steps, 1):
        if run.standing[step.id] is not Standing.RULED_OUT:
            facts = replay(facts, [run.action_of(step.id)])
        rows.append(
            {**_step(run, step, number), "cautions": list(cautions[step.id]), "safe_to_stop": not before_leaving(facts)}
        )
    return rows


def _step(run: Run, step: Step, number: int) -> dict[str, Any]:
    return {
        "id": step.id,
        "number": number,
        "do": step.do,
        "zone": step.zone.value,
        "standing": run.standing[step.id].value,
        "rounds": step.repeat,
        "needs": [fact.text for fact in step.needs],
        "makes": list(texts(step.makes)),
        "ends": [fact.text for fact in step.ends],
        "after": list(step.after),
        "when": _when(step),
        "tools": tools_words(run.sheet, [step], {}),
        "minutes": list(step.time.values),
        "wait": {"text": step.wait.text, "minutes": step.wait.value} if step.wait else None,
        "read": list(step.read),
        "decide": step.decide.id if step.decide else None,
        "torques": [_torque(run, name) for name in step.tighten],
        "drain": step.drain,
        "fill": step.fill.circuit if step.fill else None,
        "fit": [run.sheet.parts[one].name for one in step.fit],
    }


def _when(step: Step) -> dict[str, str] | None:
    match step.when:
        case WhenLimit(limit=limit):
            return {"limit": limit, "is": step.when.is_.value}
        case WhenDecided(decided=decision):
            return {"decided": decision, "is": step.when.is_}
    return None


def _torque(run: Run, name: str) -> dict[str, Any]:
    """A group of bolts; `ask` is the question to the manual that still stands in place of its torque."""
    fastener = run.sheet.fasteners[name]
    ask = fastener.torque.ask if isinstance(fastener.torque, AskRef) else None
    words = torque_words(fastener, run.progress.silent)
    return {"fastener": name, "name": fastener.name, "count": fastener.count, "torque": words, "ask": ask}
