"""Sections of a circuit's card on Fluids beyond what went out and in: renewal, the level check, the mix, warmth."""

from collections.abc import Callable
from functools import partial
from typing import Any

from markupsafe import Markup

from knowngood.acts.fluids.coolant_mix import READ_WITH, coolant_mix
from knowngood.acts.fluids.level import level_told
from knowngood.acts.fluids.renewal import USUAL_WANTED, WANTED, Renewal, renewal
from knowngood.acts.fluids.warm_not_hot import warmth
from knowngood.acts.job.garage import Garage, Job
from knowngood.acts.tools.prices import expected_words
from knowngood.report.pictures.renewal import Renewed, renewal_picture
from knowngood.sheet.model import Fluid, Step
from knowngood.web.parts import draw
from knowngood.web.parts.forms import Field, Form, Kept
from knowngood.words import capital, small


def renewal_section(garage: Garage, job: Job, circuit: str, wanted: float = USUAL_WANTED) -> dict[str, Any] | None:
    """What the drains renewed, and what more would do; None before anything came out."""
    try:
        rows = [renewal(garage, job, circuit, one) for one in WANTED]
    except ValueError as refused:
        return {"part": "plain_words", "title": "How much is new", "words": [capital(str(refused))]}
    told = dict(zip(WANTED, rows, strict=True))[wanted]
    if told is None:
        return None
    view = Renewed(
        f"{job.sheet.circuits[circuit].name}: share renewed", told.sentence, told.drawn, told.wanted, told.done
    )
    return {
        "part": "renewal",
        "sentence": told.sentence,
        "further": told.further,
        "picture_svg_phone": Markup(renewal_picture(view, width=360)),
        "picture_svg_wide": Markup(renewal_picture(view, width=640)),
        "rows": [{**_wanted_row(one), "picked": one.wanted == wanted} for one in rows if one is not None],
    }


def _wanted_row(told: Renewal) -> dict[str, Any]:
    """A wanted share, and what is still to be done for it."""
    if not told.more:
        words = "no more"
    else:
        money = "" if told.more_money is None else f" for {expected_words(told.more_money)}"
        words = f"{told.more} more · {told.more_l:.1f} L{money}"
    return {"percent": f"{100 * told.wanted:.0f}", "words": words}


def level_section(_: Garage, job: Job, circuit: str) -> dict[str, Any] | None:
    """How far off the level check is; None where nobody reads a level."""
    try:
        told = level_told(job, circuit)
    except ValueError as refused:
        return {"part": "plain_words", "title": "The level check", "words": [capital(str(refused))]}
    return None if told is None else {"part": "level_check", "judged": draw.verdict(told.data)}


def warm_section(_: Garage, job: Job, circuit: str) -> dict[str, Any] | None:
    """At what temperature to drain; None for a fluid that no plug lets out, and once it is out."""
    found = warmth(job.sheet.circuits[circuit])
    drained = any(event.data["circuit"] == circuit for event in job.state.fluids)
    if found is None or drained or not any(step.drain == circuit for step in job.sheet.steps):
        return None
    return {"part": "warm", "advice": found.advice, "behind": found.behind, "caution": found.caution}


def mix_section(_: Garage, job: Job, circuit: str) -> dict[str, Any] | None:
    """What is in a coolant circuit and where it freezes."""
    try:
        found = coolant_mix(job, circuit)
    except ValueError as refused:
        return {"part": "plain_words", "title": MIX, "words": [capital(str(refused))]}
    if found is None:
        return None
    if found.data is None:
        return {"part": "plain_words", "title": MIX, "words": [found.words], "notes": found.notes}
    return {"part": "level_check", "judged": draw.verdict(found.data)}


MIX = "The mix"


def mix_form(job: Job, circuit: str, kept: Kept | None) -> dict[str, Any] | None:
    """The share of glycol as read, and how cold it gets; None for another fluid."""
    one = job.sheet.circuits[circuit]
    if one.fluid is not Fluid.COOLANT:
        return None
    fields = [
        Field("share", "Glycol in it, as read", "number", "%", half=True, hint="By volume."),
        Field("freezes", "Must not freeze down to", "number", "°C", half=True, signed=True),
        Field("read_with", "Read with", "pick", choices=[(key, words) for key, (words, _) in READ_WITH.items()]),
    ]
    form = Form("mix_read", f"job/{job.id}", f"/job/{job.id}/fluids", fields, hidden={"circuit": circuit})
    return {
        **form.shown(kept),
        "summary": f"Read the mix of the {small(one.name)}, or say how cold it gets",
    }


def at_step(garage: Garage, job: Job, step: Step) -> list[dict[str, Any]]:
    """What a step that drains a circuit or sets its level needs beside it."""
    found = [warm_section(garage, job, step.drain) if step.drain else None]
    found += [level_section(garage, job, step.level) if step.level else None]
    return [one for one in found if one is not None]


Section = Callable[[Garage, Job, str], dict[str, Any] | None]


def sections(wanted: str = "") -> tuple[Section, ...]:
    """All of them in their order; `wanted` is the share in percent that should be new, picked among those offered."""
    picked = next((one for one in WANTED if f"{100 * one:.0f}" == wanted), USUAL_WANTED)
    return (warm_section, partial(renewal_section, wanted=picked), level_section, mix_section)
