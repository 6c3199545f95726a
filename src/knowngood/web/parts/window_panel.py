"""The panel of a warm-up on Now and Fluids: what to do by when, the curve, and the next temperature."""

from datetime import datetime
from typing import Any

from markupsafe import Markup

from knowngood import units
from knowngood.acts.fluids.at_window import CHOICES, window_over
from knowngood.acts.fluids.warm_ups import warming, window_of
from knowngood.acts.fluids.warming import READ_WITH, Moment, Warming
from knowngood.acts.job.garage import Garage, Job
from knowngood.acts.readings.values import span_words
from knowngood.engine.fluids.window import State
from knowngood.report.pictures.window import Warming as Drawn
from knowngood.report.pictures.window import window_picture
from knowngood.web.pages.of_job import undo
from knowngood.web.parts.forms import Button, Field, Form, Kept
from knowngood.web.server.bell import Moment as Ring
from knowngood.words import clock_words, small

MARKS = {State.IN: "in", State.PAST: "out"}
MINUTE_S = 60.0


def window_panel(garage: Garage, job: Job, circuit: str, back: str, kept: Kept | None) -> dict[str, Any] | None:
    """What the template `window` takes; None when no window is stated for the circuit."""
    allowed = window_of(job, circuit)
    if allowed is None:
        return None
    name = job.sheet.circuits[circuit].name
    summary = f"Temperature of the {small(name)}"
    form = {**_form(job, circuit, allowed, back).shown(kept), "summary": summary}
    panel = {"circuit": circuit, "name": name, "window": span_words(allowed), "form": form, "told": None}
    told = None if window_over(job, circuit) else warming(job, circuit)
    return panel if told is None else {**panel, "told": _told(garage, job, circuit, told, back, kept)}


def rings(job: Job) -> list[Ring]:
    """When the serving computer rings for a job, and what it says."""
    found = {circuit: warming(job, circuit) for circuit in job.sheet.circuits if not window_over(job, circuit)}
    return [
        Ring(moment.at, f"{job.sheet.circuits[circuit].name}: {moment.says.lower()} by {_clock(moment.at, job)}.")
        for circuit, told in found.items()
        if told is not None
        for moment in told.moments
        if moment.rings
    ]


def _told(garage: Garage, job: Job, circuit: str, told: Warming, back: str, kept: Kept | None) -> dict[str, Any]:
    last = [one for one in job.state.temperatures if one.data["circuit"] == circuit][-1]
    first = told.moments[0] if told.moments else None
    heads = first is not None and first.rings and told.heading == first.says
    return {
        "mark": MARKS.get(told.window.state, "clock"),
        "heading": told.heading,
        "head": _moment(first, job) if heads and first else None,
        "value": units.show(told.readings[-1].celsius, told.allowed.unit),
        "read_at": {"ms": _millis(told.last), "text": _clock(told.last, job)},
        "sentence": told.sentence,
        "further": told.further,
        "moments": [_moment(one, job) for one in told.moments[1 if heads else 0 :]],
        "made": _millis(garage.clock()),
        "picture_svg_phone": Markup(window_picture(_drawn(told, job.sheet.circuits[circuit].name), width=360)),
        "picture_svg_wide": Markup(window_picture(_drawn(told, job.sheet.circuits[circuit].name), width=640)),
        "undo": undo(job, last.id, f"Take back the last temperature, {last.data['typed']}", back).shown(kept),
    }


def _moment(one: Moment, job: Job) -> dict[str, Any]:
    until = None if one.until is None else {"ms": _millis(one.until), "text": _clock(one.until, job)}
    return {"says": one.says, "ms": _millis(one.at), "text": _clock(one.at, job), "until": until, "rings": one.rings}


def _clock(moment: datetime, job: Job) -> str:
    return clock_words(moment, job.zone)


def _millis(moment: datetime) -> int:
    return round(moment.timestamp() * 1000.0)


def _drawn(told: Warming, name: str) -> Drawn:
    """The picture in minutes since the first reading and in the unit of the window."""
    unit, zero = told.allowed.unit, told.readings[0].seconds

    def shown(celsius: float) -> float:
        return units.to_unit(celsius, unit)

    curve = told.window.curve
    rows = zip(curve.seconds, curve.p10_c, curve.p50_c, curve.p90_c, strict=True)
    there = told.window.opens.p10
    lower, upper = told.allowed.lower, told.allowed.upper
    return Drawn(
        title=f"{name} on its way to {span_words(told.allowed)}",
        description=told.sentence,
        readings=tuple(((one.seconds - zero) / MINUTE_S, shown(one.celsius)) for one in told.readings),
        lower=None if lower is None else shown(lower),
        upper=None if upper is None else shown(upper),
        curve=tuple(((at - zero) / MINUTE_S, shown(a), shown(b), shown(c)) for at, a, b, c in rows),
        be_there=None if there is None else (there - zero) / MINUTE_S,
        unit=unit,
    )


def warmth_fields(job: Job, circuit: str) -> list[Field]:
    """What is typed with a step at which the fluid's temperature counts."""
    allowed, name = window_of(job, circuit), small(job.sheet.circuits[circuit].name)
    assert allowed is not None  # counts_at has looked
    hint = f"Window {span_words(allowed)}. Empty: as it was read last."
    choices = [(key, words) for key, words in CHOICES.items()]
    return [
        Field("celsius", f"The {name} is at", "number", allowed.unit, hint=hint, signed=True),
        _again(allowed.unit),
        Field("window", "It may be outside its window", "choice", choices=choices, asked=True),
    ]


def _again(unit: str) -> Field:
    return Field("again", "The same again, if it is right", "number", unit, signed=True, asked=True)


def _form(job: Job, circuit: str, allowed: units.Span, back: str) -> Form:
    last = [one for one in job.state.temperatures if one.data["circuit"] == circuit]
    used = last[-1].data["read_with"] if last else "display"
    choices = [(key, one.words) for key, one in READ_WITH.items()]
    fields = [
        Field("celsius", "It is at", "number", allowed.unit, half=True, signed=True, required=True),
        Field("ago", "How long ago, if not now", "number", "min", half=True),
        _again(allowed.unit),
        Field("read_with", "Read with", "pick", value=used, choices=choices),
    ]
    return Form("temperature_read", f"job/{job.id}", back, fields, [Button("Keep it", "done")], {"circuit": circuit})
