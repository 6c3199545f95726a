"""The forms of the toolbox: an instrument by picture and word, its check, a wrench, a tool, and what things cost."""

from collections.abc import Mapping
from typing import Any

from markupsafe import Markup

from knowngood.acts.tools.toolbox import OTHER
from knowngood.engine.measurement.meters.classes import PRESETS
from knowngood.report.pictures.instruments import instrument_picture
from knowngood.store.folds import ToolboxState
from knowngood.web.parts.forms import Field, Form, Kept

KINDS = [*((key, one.title) for key, one in PRESETS.items()), (OTHER, "Another")]
LINE = (
    "As it is printed, such as 0.8 % + 3 digits, 0.1 ohm, or ± 2 °C or 2 %, whichever is greater. Of a rule its step, "
    "such as 0.5 mm. Empty: the usual figures of its kind."
)
RANGE = "Such as 0..10 bar. A gauge needs it; of others, only when there are several ranges."


def tool_forms(toolbox: ToolboxState, priced: Mapping[str, str], kept: Kept | None) -> list[dict[str, Any]]:
    """Add an instrument, check one that is there, add a torque wrench or a tool, say what something costs.

    Args:
        toolbox: What is there.
        priced: What a price can be stated for, with its name.
        kept: What was typed before.
    """
    names = list(dict.fromkeys(event.data["name"] for event in toolbox.instruments))
    rows = [
        ("Add an instrument", "instrument_added", _instrument()),
        *([("Check an instrument", "instrument_checked", _check(names))] if names else []),
        ("Add a torque wrench", "wrench_added", _wrench()),
        ("Add a tool", "tool_added", [Field("name", "What it is", hint="Such as two axle stands.", required=True)]),
        ("Say what something costs", "price_stated", _price(priced)),
    ]
    return [{**Form(kind, "toolbox", "/", fields).shown(kept), "summary": title} for title, kind, fields in rows]


def _instrument() -> list[Field]:
    pictures = {key: Markup(instrument_picture(key)) for key, _ in KINDS}
    return [
        Field("preset", "What it is", "choice", choices=KINDS, pictures=pictures),
        Field("name", "What you call it", hint="Such as blue meter.", required=True),
        Field("line", "Its data sheet's line", hint=LINE),
        Field("range", "Lowest and highest mark", hint=RANGE),
    ]


def _check(names: list[str]) -> list[Field]:
    return [
        Field("name", "Which instrument", "pick", choices=[(name, name) for name in names]),
        Field("known", "What it should show", hint="A known value with its unit, such as 100 ohm.", required=True),
        Field("give", "Give or take", half=True, hint="Of the known value, such as 0.1 or 1 %."),
        Field("shown", "What it showed", half=True, hint="Such as 100.4.", required=True),
        Field("date", "When", hint="Year, month, day, such as 2026-11-21. Empty: today."),
    ]


def _wrench() -> list[Field]:
    return [
        Field("name", "What you call it", hint="Such as small torque wrench.", required=True),
        Field("range", "Lowest and highest mark", hint="Such as 5..25 N·m.", required=True),
    ]


def _price(priced: Mapping[str, str]) -> list[Field]:
    return [
        Field("what", "What it is", "pick", choices=list(priced.items())),
        Field("pack", "Size of the can", half=True, hint="For a fluid only, such as 1 L."),
        Field("amount", "Price", "number", half=True, hint="Digits only, such as 15 or 12.50.", required=True),
    ]
