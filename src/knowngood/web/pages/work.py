"""Bolts and Kit: what was tightened, what to have at hand."""

from functools import partial
from typing import Any

from knowngood.acts.book import signed_words
from knowngood.acts.fluids.at_hand import fluid_at_hand
from knowngood.acts.fluids.words import circuit_words
from knowngood.acts.job.fits import fitted, tools_words
from knowngood.acts.job.garage import Garage, Job
from knowngood.acts.job.run import in_scope
from knowngood.acts.materials import wrench_words
from knowngood.sheet.model import AskRef, Fill
from knowngood.web.pages.fluids import hand
from knowngood.web.pages.of_job import Page, frame
from knowngood.web.parts.forms import Button, Field, Form, Kept
from knowngood.web.parts.size_field import size_field
from knowngood.web.server.failing import each
from knowngood.words import capital


def bolts(garage: Garage, job: Job, kept: Kept | None) -> Page:
    """Each group of bolts: loosened, signed, or still to be tightened; one tap signs a whole pass."""
    names = [name for name in job.sheet.fasteners if any(name in (*s.tighten, *s.loosen) for s in _steps(job))]
    rows = each((job.sheet.fasteners[name].name, partial(_bolt, garage, job, name, kept)) for name in names)
    owed = sum(row["owed"] for row in rows)
    words = (
        f"{owed} group{'' if owed == 1 else 's'} loosened and not yet signed."
        if owed
        else "Nothing loosened waits to be signed."
    )
    return {**frame(garage, job, "bolts"), "bolts": rows, "summary": words}


def _steps(job: Job) -> list[Any]:
    return [step for step in job.sheet.steps if in_scope(step, job.scope)]


def _bolt(garage: Garage, job: Job, name: str, kept: Kept | None) -> dict[str, Any]:
    one = job.sheet.fasteners[name]
    signed = [event.data for event in job.state.bolts if event.data["fastener"] == name]
    owed = job.torque_owed(name)
    exceptions = Field("exceptions", "Any bolt not as stated?", hint="Empty: all of them as stated.")
    form = Form(
        "bolts_signed", f"job/{job.id}", f"/job/{job.id}/bolts", [exceptions],
        [Button(f"Sign all {one.count}" if one.count > 1 else "Sign it", "done")], {"fastener": name},
    )  # fmt: skip
    return {
        "name": one.name,
        "count": one.count,
        "torque": job.torque_text(name),
        "state": "Loosened, not yet signed." if owed else "Signed." if signed else "Not touched yet.",
        "owed": owed,
        "wrench": wrench_words(garage, job, name),
        "signed": [signed_words(data) for data in signed],
        "form": form.shown(kept) if owed else None,
    }


def kit(garage: Garage, job: Job, kept: Kept | None) -> Page:
    """Parts, fluids and tools that the chosen scope needs."""
    parts = [
        name
        for name, one in job.sheet.parts.items()
        if not one.scope or not job.scope or set(one.scope) & set(job.scope)
    ]
    got = {event.data["part"]: event for event in job.state.kit}
    rows = [_part(job, name, name in got, kept) for name in parts]
    missing = [job.sheet.parts[name].name for name in parts if name not in got]
    words = f"Still to get: {', '.join(missing)}." if missing else "Everything is at hand."
    return {
        **frame(garage, job, "kit"),
        "parts": rows,
        "tools": tools_words(job.sheet, _steps(job), job.sizes),
        "sizes": [_size(job, name, kept) for name in fitted(*_steps(job))],
        "fluids": _fluids(garage, job),
        "summary": words,
    }


def _fluids(garage: Garage, job: Job) -> list[dict[str, Any]]:
    """What each circuit is filled with, and how much of it to have at hand."""
    fills = [step.fill for step in _steps(job) if step.fill]
    circuits = dict.fromkeys(fill.circuit for fill in fills)
    return each((job.sheet.circuits[name].name, partial(_fluid, garage, job, name, fills)) for name in circuits)


def _fluid(garage: Garage, job: Job, name: str, fills: list[Fill]) -> dict[str, Any]:
    found = fluid_at_hand(garage, job, name)
    amounts = dict.fromkeys(_amount(fill) for fill in fills if fill.circuit == name)
    words = f"{circuit_words(job.sheet.circuits[name])}: {', then '.join(amounts)}."
    return {"words": words, "hand": None if found is None else hand(found)}


def _amount(fill: Fill) -> str:
    return "the amount your manual states" if isinstance(fill.amount, AskRef) else fill.amount.text


def _part(job: Job, name: str, got: bool, kept: Kept | None) -> dict[str, Any]:
    one = job.sheet.parts[name]
    buttons = [Button("I have it", "plain")]
    form = Form("kit_got", f"job/{job.id}", f"/job/{job.id}/kit", buttons=buttons, hidden={"part": name})
    words = ("At hand." if got else "Still to get.") + (
        " Used once: never fit the old one again." if one.single_use else ""
    )
    return {"name": one.name, "count": one.count, "words": words, "form": None if got else form.shown(kept)}


def _size(job: Job, name: str, kept: Kept | None) -> dict[str, Any]:
    """Which size fits, as far as anybody noted it, and the form to note or correct it."""
    fastener, size = job.sheet.fasteners[name].name, job.sizes.get(name, "")
    field = size_field("size", fastener, size)
    keep = Button("Keep it", "plain")
    form = Form("fit_noted", f"job/{job.id}", f"/job/{job.id}/kit", [field], [keep], {"fastener": name})
    words, change = (size, "Change it") if size else ("not noted yet", "Note it")
    return {"name": capital(fastener), "size": words, "change": change, "form": form.shown(kept)}
