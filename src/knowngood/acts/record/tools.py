"""Instruments as they are typed: a line of a data sheet, and one held against a known value."""

import re
from datetime import date
from typing import Any

from knowngood import units
from knowngood.acts.record.entries import Entry
from knowngood.acts.tools.instruments import described_line, from_json, line_json, preset_lines, sets_zero
from knowngood.acts.tools.toolbox import OTHER, checks_of, line_for, of_leads, unit_of
from knowngood.engine.measurement.meters.checking import allowed_error, far_from_zero, outside_class
from knowngood.engine.measurement.meters.classes import PRESETS
from knowngood.refusal import Refused, parsed
from knowngood.store.event import Event
from knowngood.store.folds import ToolboxState

# How far a known value may be off when nobody says so: ice or boiling water within a degree, else a percent. Ours.
KNOWN_WITHIN_K, KNOWN_WITHIN_SHARE = 1.0, 0.01

# As a known value is sold: its percent after ±.
IN_PERCENT = re.compile(r"(?:±\s*)?(\d+(?:[.,]\d+)?|[.,]\d+)\s*%$")


def added(entry: Entry) -> list[dict[str, Any]]:
    """What the toolbox keeps of an instrument that is added: a line of its data sheet, or the usual ones of its kind.

    Raises:
        Refused: A sentence at each field that cannot be used.
    """
    name = entry.needed("name", "what you call it, such as blue meter")
    chosen, line, scale = entry.text("preset"), entry.text("line"), entry.text("range")
    if chosen not in ("", OTHER, *PRESETS):
        raise Refused({"preset": f'"{chosen}" is no instrument known here. Choose one, or Another.'})
    if chosen in PRESETS and not line:
        preset = PRESETS[chosen]
        found = parsed("range", lambda: preset_lines(preset, name=name, scale=scale))
        return [line_json(one, kind=chosen) for one in found]
    line = entry.needed("line", "the line from its data sheet, such as 0.8 % + 3 digits, 0.1 ohm")
    plain = parsed("line", lambda: described_line(line, name=name, scale=scale))
    if chosen in PRESETS and plain.unit not in (allowed := dict.fromkeys(one.unit for one in PRESETS[chosen].lines)):
        title = PRESETS[chosen].title.lower()
        raise Refused({"line": f'"{line}" is in {plain.unit}; a {title} is read in {" or ".join(allowed)}.'})
    kind = entry.text("kind") or (chosen if chosen in PRESETS else "multimeter")
    return [line_json(plain, kind=kind)]


def checked_data(toolbox: ToolboxState, entry: Entry, *, today: str) -> dict[str, Any]:
    """What the toolbox keeps of an instrument that was held against a known value.

    Raises:
        Refused: A sentence at each field that cannot be used.
    """
    name = entry.needed("name", "which instrument was checked")
    mine = [one for one in toolbox.instruments if one.data["name"] == name]
    if not mine:
        raise Refused({"name": f'The toolbox has no "{name}". Add it first, then check it.'})
    own = {unit_of(one) for one in mine}
    stated = entry.needed("known", "what it should show, such as 100 ohm")
    bare, percent = _apart(stated)
    known = parsed("known", lambda: units.tolerance(bare, unit=own.copy().pop() if len(own) == 1 else None))
    if of_leads(known.kind.unit, known.value):
        raise Refused(
            {"known": "Probes that touch show their leads. Write that with each reading, as what they show touching, "
                      "and check the meter against a known resistor, such as 100 ohm."}
        )  # fmt: skip
    typed = entry.needed("shown", "what it showed, such as 100.4")
    shown = parsed("shown", lambda: units.quantity(typed, known.kind, unit=known.unit)).value
    line = line_for(toolbox, name, known.kind.unit, [shown], field="shown")
    assert line is not None  # one of that name was found above
    zero = known.value == 0.0 and sets_zero(line.data)
    doubt = known.half_width or _give("known", percent, known) or _give("give", entry.text("give"), known)
    half = doubt if doubt is not None else _usual_doubt(known, zero=zero)
    meter = from_json(line.data)
    outside = (
        far_from_zero(meter, shown)
        if zero
        else outside_class(meter, known=known.value, known_half_width=half, shown=_less_zero(toolbox, line, shown))
    )
    return {
        "name": name,
        "unit": known.kind.unit,
        "written": known.unit,
        "known": known.value,
        "known_half_width": half,
        "assumed": doubt is None and not zero,
        "shown": shown,
        "zero": zero,
        "outside": outside,
        "allowed": allowed_error(meter, 0.0 if zero else shown),
        "typed": {"known": stated, "give": entry.text("give"), "shown": typed},
        "date": _day(entry, today),
    }


def _apart(stated: str) -> tuple[str, str]:
    """What was typed, and the percent that it may be off behind it; "" when that was not in percent."""
    bare, mark, within = stated.rpartition("±")
    return (bare, mark + within) if mark and within.endswith("%") else (stated, "")


def _give(field: str, text: str, known: units.Tolerance) -> float | None:
    """How far the known value may be off, as a number or in percent of it; None when nobody says so."""
    if not text:
        return None
    if percent := IN_PERCENT.match(text):
        return _share(field, text, float(percent[1].replace(",", ".")) / 100.0, known)
    words = (
        f'"{text}" does not say how far the known value may be off. Write one number above zero, such as 0.1 or 1 %.'
    )
    try:
        return units.tolerance(units.completed(f"{known.text} ± {text}", known.unit), known.kind).half_width
    except units.Undecided as undecided:
        raise Refused({"give": str(undecided)}) from undecided
    except units.UnitsError as refused:
        raise Refused({field: words}) from refused


def _share(field: str, text: str, share: float, known: units.Tolerance) -> float:
    if known.kind is units.Kind.TEMPERATURE or not share * known.value:
        what = (
            "no temperature is known to a percent"
            if known.kind is units.Kind.TEMPERATURE
            else "of this value that is none"
        )
        raise Refused({field: f'"{text}" cannot be: {what}. Write it in {known.unit}, such as 0.1.'})
    return share * abs(known.value)


def _less_zero(toolbox: ToolboxState, line: Event, shown: float) -> float:
    """What it would have shown, had its zero been set right."""
    zeros, _ = checks_of(toolbox, line)
    return shown - (zeros[-1].data["shown"] if zeros else 0.0)


def _usual_doubt(known: units.Tolerance, *, zero: bool) -> float:
    if zero:
        return 0.0
    if known.kind is units.Kind.TEMPERATURE:
        return KNOWN_WITHIN_K
    return KNOWN_WITHIN_SHARE * abs(known.value)


def _day(entry: Entry, today: str) -> str:
    text = entry.text("date") or today
    try:
        day = date.fromisoformat(text)
    except ValueError as refused:
        raise Refused({"date": f'"{text}" is no day. Write year, month and day, such as {today}.'}) from refused
    if day > date.fromisoformat(today):
        raise Refused({"date": f'"{text}" is still to come. Write the day of the check, such as {today}.'})
    return day.isoformat()
