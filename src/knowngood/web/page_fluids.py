"""Fluids: a card for each circuit, made of sections; and the form for what goes out or in beside the steps."""

from collections.abc import Callable
from typing import Any

from knowngood.acts.garage import Garage, Job
from knowngood.acts.materials import owed_words
from knowngood.sheet.model import AskRef
from knowngood.web.forms import Field, Form, Kept
from knowngood.web.pages import Page, frame
from knowngood.web.window_panel import window_panel

WAYS = {"out": "came out", "in": "went in", "spilled": "on the ground", "left": "left in a part that came off"}

# What a section needs to be drawn: `part` names its macro in fluids_parts.html, which takes the rest. None: not here.
Section = Callable[[Garage, Job, str], dict[str, Any] | None]


def fluids(garage: Garage, job: Job, kept: Kept | None) -> Page:
    """What went out and in, circuit by circuit."""
    form = _move_form(job).shown(kept)
    cards = [_card(garage, job, name, kept) for name in job.sheet.circuits]
    return {**frame(garage, job, "fluids"), "circuits": cards, "move_form": form if cards else None}


def _card(garage: Garage, job: Job, name: str, kept: Kept | None) -> dict[str, Any]:
    one = job.sheet.circuits[name]
    found = (section(garage, job, name) for section in SECTIONS)
    holds = "Your manual states how much it holds." if isinstance(one.holds, AskRef) else f"Holds {one.holds.text}."
    return {
        "name": one.name,
        "holds": holds,
        "sections": [section for section in found if section is not None],
        "window": window_panel(garage, job, name, f"/job/{job.id}/fluids", kept) if _warms(job, name) else None,
    }


def _warms(job: Job, name: str) -> bool:
    """Is the circuit followed to its window: at this step, or because a temperature was read?"""
    now = job.run.now if job.started else None
    read = any(event.data["circuit"] == name for event in job.state.temperatures)
    return read or (now is not None and now.window == name)


def _ledger(_: Garage, job: Job, name: str) -> dict[str, Any]:
    """What went out and in, and what is owed."""
    moved = [event.data for event in job.state.fluids if event.data["circuit"] == name]
    rows = [
        {
            "way": WAYS[data["way"]],
            "typed": data["typed"],
            "step": job.sheet.step(data["step"]).do if data["step"] else "–",
        }
        for data in moved
    ]
    columns = [
        {"key": "way", "label": "What"},
        {"key": "typed", "label": "How much"},
        {"key": "step", "label": "At step"},
    ]
    return {"part": "ledger", "columns": columns, "rows": rows, "balance": owed_words(job, name)}


# In this order on each card.
SECTIONS: tuple[Section, ...] = (_ledger,)


def _move_form(job: Job) -> Form:
    circuits = [(name, one.name) for name, one in job.sheet.circuits.items()]
    fields = [
        Field("circuit", "Which circuit", "pick", choices=circuits),
        Field("way", "It", "choice", choices=list(WAYS.items()), required=True),
        Field("amount", "How much", "number", "L", half=True, required=True),
        Field("fluid_c", "The fluid is at", "number", "°C", half=True, signed=True),
    ]
    return Form("fluid_moved", f"job/{job.id}", f"/job/{job.id}/fluids", fields)
