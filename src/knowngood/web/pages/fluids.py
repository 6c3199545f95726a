"""Fluids: a card for each circuit, made of sections; and the form for what goes out or in beside the steps."""

from collections.abc import Callable
from functools import partial
from typing import Any

from markupsafe import Markup

from knowngood.acts.fluids.at_hand import AtHand, fluid_at_hand
from knowngood.acts.fluids.ledger import WAYS, Entry, Unwritten, ledger
from knowngood.acts.fluids.words import (
    HOW_MUCH,
    cans_words,
    hand_words,
    litre_words,
    litres,
    owed_words,
    title,
    typed_words,
    way_words,
)
from knowngood.acts.job.garage import Garage, Job
from knowngood.engine.fluids.ledger import Way
from knowngood.engine.judgement import Estimate
from knowngood.report.pictures.ledger import owed_picture
from knowngood.report.pictures.picture import band_and_hump
from knowngood.sheet.model import AskRef
from knowngood.web.pages.of_job import Page, frame
from knowngood.web.parts import fluid_sections
from knowngood.web.parts.draw import doubts
from knowngood.web.parts.fluid_fields import amount_fields, mix_fields
from knowngood.web.parts.forms import Field, Form, Kept
from knowngood.web.parts.window_panel import window_panel
from knowngood.web.server.failing import each, part
from knowngood.words import capital

COLUMNS = [
    {"key": "way", "label": "What"},
    {"key": "typed", "label": "As read"},
    {"key": "at_20", "label": "At 20 °C", "numeric": True},
    {"key": "step", "label": "At step", "numeric": True},
]

# What a section needs to be drawn: `part` names its macro in fluids_parts.html or
# fluids_sections.html, which takes the rest. None: not here.
Section = Callable[[Garage, Job, str], dict[str, Any] | None]


def fluids(garage: Garage, job: Job, kept: Kept | None, *, wanted: str = "") -> Page:
    """What went out and in, circuit by circuit; `wanted` is the share in percent that should be new, as picked."""
    form = _move_form(garage, job).shown(kept)
    circuits = job.sheet.circuits.items()
    cards = each((one.name, partial(_card, garage, job, name, kept, wanted)) for name, one in circuits)
    return {**frame(garage, job, "fluids"), "circuits": cards, "move_form": form if cards else None}


def _card(garage: Garage, job: Job, name: str, kept: Kept | None, wanted: str) -> dict[str, Any]:
    one = job.sheet.circuits[name]
    every = (*SECTIONS, *fluid_sections.sections(wanted))
    holds = "Your manual states how much it holds." if isinstance(one.holds, AskRef) else f"Holds {one.holds.text}."
    return {
        "name": one.name,
        "holds": holds,
        "sections": each((f"a part of {one.name}", partial(section, garage, job, name)) for section in every),
        "unwritten": [_written(garage, job, name, one, kept) for one in ledger(job, name).unwritten],
        "mix_form": fluid_sections.mix_form(job, name, kept),
        "window": part(f"the window of {one.name}", partial(_window, garage, job, name, kept), None),
    }


def _written(garage: Garage, job: Job, circuit: str, one: Unwritten, kept: Kept | None) -> dict[str, Any]:
    """The field for what was not written down at a step."""
    fields = amount_fields(garage, job, f"How much {HOW_MUCH[one.way]} at step {one.number}", required=True)
    fields += mix_fields([job.sheet.circuits[circuit]] if one.way is Way.IN else [])
    hidden = {"circuit": circuit, "way": one.way.value, "step": one.step}
    return Form("fluid_moved", f"job/{job.id}", f"/job/{job.id}/fluids", fields, hidden=hidden).shown(kept)


def _window(garage: Garage, job: Job, name: str, kept: Kept | None) -> dict[str, Any] | None:
    return window_panel(garage, job, name, f"/job/{job.id}/fluids", kept) if _warms(job, name) else None


def _warms(job: Job, name: str) -> bool:
    """Is the circuit followed to its window: at this step, or because a temperature was read?"""
    now = job.run.now if job.started else None
    read = any(event.data["circuit"] == name for event in job.state.temperatures)
    return read or (now is not None and now.window == name)


def _ledger(_: Garage, job: Job, name: str) -> dict[str, Any]:
    """What went out and in, as typed and at 20 °C, and what is owed."""
    told = ledger(job, name)
    picture = None if told.unwritten else owed_picture(told)
    return {
        "part": "ledger",
        "columns": COLUMNS,
        "rows": [_row(job, one, volume) for one, volume in zip(told.entries, told.volumes, strict=True)],
        "title": title(told),
        "owed": owed_words(told),
        "litre": litre_words(told),
        "picture_svg_phone": Markup(band_and_hump(picture, width=360)) if picture else None,
        "picture_svg_wide": Markup(band_and_hump(picture, width=640)) if picture else None,
        "budget": [] if told.unwritten else doubts(told.owed, "L"),
    }


def _row(job: Job, one: Entry, volume: Estimate) -> dict[str, str]:
    way, steps = way_words(job, one), list(job.run.standing)
    return {
        "way": capital(way),
        "typed": typed_words(one),
        "at_20": litres(volume),
        "step": str(steps.index(one.step) + 1) if one.step and one.step in steps else "–",
    }


def _at_hand(garage: Garage, job: Job, name: str) -> dict[str, Any] | None:
    """How much to have at hand, and which cans hold it."""
    found = fluid_at_hand(garage, job, name)
    return None if found is None else {"part": "at_hand", **hand(found)}


def hand(found: AtHand) -> dict[str, Any]:
    """What to have at hand, and where to say what a can holds when nobody did."""
    return {"words": hand_words(found), "cans": cans_words(found), "ask": not found.cans}


# In this order on each card, before those of fluid_sections.
SECTIONS: tuple[Section, ...] = (_ledger, _at_hand)


def _move_form(garage: Garage, job: Job) -> Form:
    circuits = [(name, one.name) for name, one in job.sheet.circuits.items()]
    fields = [
        Field("circuit", "Which circuit", "pick", choices=circuits),
        Field("way", "It", "choice", choices=[(way.value, words) for way, words in WAYS.items()], required=True),
        *amount_fields(garage, job, "How much", required=True),
        *mix_fields(job.sheet.circuits.values()),
    ]
    return Form("fluid_moved", f"job/{job.id}", f"/job/{job.id}/fluids", fields)
