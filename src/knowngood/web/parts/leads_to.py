"""From what would settle a reading to the field that it is about."""

from collections.abc import Mapping, Sequence
from typing import Any

# The field that each thing to do is about, where it is not of the same name: the first of these that the form has.
FIELDS: Mapping[str, tuple[str, ...]] = {
    "zero": ("zero", "zero_error"),
    "stated": ("zero", "part"),
    "cool": ("part",),
    "repeat": ("read",),
    "again": ("read",),
    "places": ("read",),
    "eye": ("read",),
    "settle": ("read",),
    "drag": ("read",),
    "twin": ("read",),
    "data_sheet": ("meter",),
    "meter": ("meter",),
    "sleep": ("locked",),
    "play": ("bearing_play",),
    "blade": ("not",),
    "scale": ("pushed",),
    "patch": ("surface",),
}


def with_links(judged: Mapping[str, Any], form: Mapping[str, Any]) -> dict[str, Any]:
    """Return a verdict whose remedies lead to the fields of a form, where it has one for them."""
    names = [field["name"] for field in form["fields"]]
    rows = [{**row, "href": _href(row.get("key", ""), form["id"], names)} for row in judged["settle"]]
    return {**judged, "settle": rows}


def _href(key: str, form_id: str, names: Sequence[str]) -> str:
    wanted = ("meter",) if key.startswith(("own:", "get:")) else FIELDS.get(key, (key,))
    name = next((one for one in wanted if one in names), "")
    return f"#{form_id}-{name}" if name else ""
