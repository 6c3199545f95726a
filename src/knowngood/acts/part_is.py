"""What a part is, as the person said when it only sounded like one that safety hangs on."""

from collections.abc import Mapping
from typing import Any

from knowngood.acts.job.garage import Garage
from knowngood.acts.record.entries import Draft, Entry
from knowngood.engine.troubleshooting.model.safety import SafetyKind
from knowngood.gate import CALLED, NONE
from knowngood.refusal import Refused


def part_is(_: Garage, entry: Entry) -> list[Draft]:
    """Which safety system a part of the sheet belongs to, or that it belongs to none; it counts everywhere after."""
    name, system = entry.needed("name", "which part"), entry.needed("system", "what it belongs to, or none")
    if system not in (*SafetyKind, NONE):
        known = ", ".join((*SafetyKind, NONE))
        raise Refused({"system": f'"{system}" is no system that safety hangs on. Take one of {known}.'})
    data = {"name": name, "system": system, "shown": entry.text("shown"), "why": entry.text("why")}
    return [Draft("part_is", data)]


def part_is_words(data: Mapping[str, Any]) -> str:
    """Return the same in one line, as the book has it.

    Example:
        >>> part_is_words({"name": "Winch brake", "system": "none", "shown": "", "why": "it holds the winch"})
        'Winch brake: belongs to no system that safety hangs on. Reason: it holds the winch'
    """
    system = data["system"]
    words = "no system that safety hangs on" if system == NONE else CALLED[SafetyKind(system)]
    reason = f" Reason: {data['why']}" if data["why"] else ""
    return f"{data['name']}: belongs to {words}.{reason}"
