"""Instruments held against a known value, and the toolbox in words."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from knowngood import units
from knowngood.acts.readings.values import span_words
from knowngood.acts.record.entries import Entry
from knowngood.acts.tools.instruments import from_json, sets_zero, taken_words
from knowngood.acts.tools.toolbox import checks_of, line_for, of_leads, standing, unit_of
from knowngood.engine.measurement.meters.checking import allowed_error, far_from_zero, outside_class
from knowngood.engine.measurement.meters.classes import PRESETS
from knowngood.refusal import Refused, parsed
from knowngood.store.event import Event
from knowngood.store.folds import ToolboxState

# How far a known value may be off when nobody says so: ice or boiling water within a degree, else a percent. Ours.
KNOWN_WITHIN_K, KNOWN_WITHIN_SHARE = 1.0, 0.01
# As a known value is sold: its percent after ±.
IN_PERCENT = re.compile(r"(?:±\s*)?(\d+(?:[.,]\d+)?|[.,]\d+)\s*%$")


@dataclass(frozen=True)
class Held:
    """Something that the toolbox holds, in words, and the entries that say so: taken back together, it is gone."""

    words: tuple[str, ...]
    events: tuple[str, ...]


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


def held(toolbox: ToolboxState) -> list[Held]:
    """Every instrument with its lines and its last check, then wrenches and tools."""
    wrenches = [Held((_wrench_words(event.data),), (event.id,)) for event in toolbox.wrenches]
    names = dict.fromkeys(one.data["name"] for one in toolbox.instruments)
    tools = [Held((event.data["name"],), (event.id,)) for event in toolbox.tools]
    return [*(_instrument(toolbox, name) for name in names), *wrenches, *tools]


def _wrench_words(wrench: Mapping[str, Any]) -> str:
    span = units.span(wrench["typed"], units.Kind.TORQUE, beyond=units.everything_is_beyond)
    return f"{wrench['name']}: {span_words(span)}"


def _instrument(toolbox: ToolboxState, name: str) -> Held:
    """All that was ever said of one name: its lines, newer and older ones, and its checks."""
    lines = [one for one in toolbox.instruments if one.data["name"] == name]
    checks = [one for one in toolbox.checks if one.data["name"] == name]
    words = tuple(_instrument_words(toolbox, name, unit) for unit in dict.fromkeys(map(unit_of, lines)))
    preset = PRESETS.get(lines[-1].data.get("kind", ""))
    words += (preset.hint,) if preset and preset.hint else ()
    return Held(words, tuple(one.id for one in (*lines, *checks)))


def toolbox_words(toolbox: ToolboxState) -> list[str]:
    """The same, in words only."""
    return [words for one in held(toolbox) for words in one.words]


def _instrument_words(toolbox: ToolboxState, name: str, unit: str) -> str:
    lines = standing([one for one in toolbox.instruments if one.data["name"] == name], unit)
    said = f"{name}: {'; '.join(_line_words(one.data, unit) for one in lines)}"
    checks = [check_words(check.data) for line in lines for check in _standing_checks(toolbox, line)]
    return ". ".join([said, " ".join(dict.fromkeys(checks))]) if checks else said


def _standing_checks(toolbox: ToolboxState, line: Event) -> list[Event]:
    """The checks that count: the newest at zero, and the newest at each point."""
    zeros, points = checks_of(toolbox, line)
    return [*zeros[-1:], *points]


def _line_words(line: Mapping[str, Any], unit: str) -> str:
    words = taken_words(str(line["line"]), from_json(line), unit)
    in_words = line.get("upper") is None or ".." in words or "% of" in words
    words = words.replace("..", "–")  # as people read a range; what is typed keeps its dots
    return words if in_words else f"{words} up to {line['upper']:g} {unit}"


def check_words(check: Mapping[str, Any]) -> str:
    """A check in words: what was seen, what the class allows, and what follows."""
    written = check["written"]
    shown, known = (units.show(check[key], written) for key in ("shown", "known"))
    if check["zero"]:
        taken_off = f"Checked {check['date']}: shows {shown} at zero, which is taken off every reading."
        return f"{taken_off} {_far_words(check)}".rstrip()
    within = units.show(check["known_half_width"], written, difference=True)
    allowed = units.show(check["allowed"], written, difference=True)
    seen = f"Checked {check['date']}: shows {shown} at {known} ± {within}{' (assumed)' if check['assumed'] else ''}"
    if not check["outside"]:
        return f"{seen}, within its class of ± {allowed}."
    return (
        f"{seen}, outside its class of ± {allowed}. Look at its battery, leads and zero, and check it again; "
        "until then readings count as doubtful as this error."
    )


def _far_words(check: Mapping[str, Any]) -> str:
    """Said of a zero that no class explains; the oldest checks were not asked for that."""
    if not check["outside"]:
        return ""
    allowed = units.show(check["allowed"], check["written"], difference=True)
    return f"That is far more than its class of ± {allowed}: wipe it, set its zero anew and check it again."
