"""Instruments held against a known value, and the toolbox in words."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from knowngood import units
from knowngood.acts.readings.values import span_words
from knowngood.acts.tools.instruments import from_json, taken_words
from knowngood.acts.tools.toolbox import checks_of, standing, unit_of
from knowngood.engine.measurement.meters.classes import PRESETS
from knowngood.store.event import Event
from knowngood.store.folds import ToolboxState


@dataclass(frozen=True)
class Held:
    """Something that the toolbox holds, in words, and the entries that say so: taken back together, it is gone."""

    words: tuple[str, ...]
    events: tuple[str, ...]


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
