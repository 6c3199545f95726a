"""Which size fits which bolts of a vehicle: noted where it was first found out, known in every job from then on."""

from collections.abc import Iterable, Mapping

from knowngood.sheet.model import AskRef, Sheet, Step
from knowngood.sheet.tools import Tool
from knowngood.store.folds import VehicleState

Sizes = Mapping[str, str]


def place_of(sheet: Sheet, fastener: str) -> str:
    """Return what tells these bolts from all others of a vehicle.

    Other sheets know them too only where both say so: of the bolts, or of the question for their torque.
    """
    bolts = sheet.fasteners[fastener]
    asked = sheet.asks[bolts.torque.ask].same_as if isinstance(bolts.torque, AskRef) else None
    of = asked.partition("(")[2].rstrip(")") if asked else None
    return bolts.same_as or of or f"{sheet.id}/{fastener}"


def sizes(sheet: Sheet, vehicle: VehicleState) -> dict[str, str]:
    """Return the size that was noted last, by the fastener's short name; one that nobody noted is left out."""
    noted = vehicle.newest("fit_noted", "place")
    places = {name: place_of(sheet, name) for name in sheet.fasteners}
    return {name: str(noted[place].data["size"]) for name, place in places.items() if place in noted}


def tool_words(sheet: Sheet, tool: Tool, known: Sizes) -> str:
    """Return what to fetch: "socket to fit the drain plug", and "socket: 17 mm for the drain plug" once it is noted."""
    each = [(sheet.fasteners[one].name, known.get(one)) for one in tool.fits]
    noted = ", ".join(f"{size} for the {name}" for name, size in each if size is not None)
    to_fit = " and the ".join(name for name, size in each if size is None)
    words = tool.name + (f": {noted}" if noted else "") + ("," if noted and to_fit else "")
    return f"{words} to fit the {to_fit}" if to_fit else words


def tools_words(sheet: Sheet, steps: Iterable[Step], known: Sizes) -> list[str]:
    """Return the tools of some steps in words, each once."""
    return list(dict.fromkeys(tool_words(sheet, tool, known) for step in steps for tool in step.tools))


def fitted(*steps: Step) -> list[str]:
    """Return the fasteners that a tool of these steps must fit, each once."""
    return list(dict.fromkeys(one for step in steps for tool in step.tools for one in tool.fits))
