"""The toolbox: instruments added, and the one that a reading was taken with, as far as it is known."""

from collections.abc import Mapping, Sequence
from statistics import fmean
from typing import Any

from knowngood import units
from knowngood.acts.entries import Entry
from knowngood.acts.instruments import described_line, from_json, line_json, preset_lines
from knowngood.engine.measurement.checking import at_temperature, checked, resolved, zeroed
from knowngood.engine.measurement.classes import PRESETS
from knowngood.engine.measurement.instruments import Meter
from knowngood.quantities.kinds import reads
from knowngood.quantities.model import Quantity
from knowngood.refusal import Refused, parsed
from knowngood.store.event import Event
from knowngood.store.folds import ToolboxState

OTHER = "other"


def instrument_for(toolbox: ToolboxState, name: str, unit: str, values: Sequence[float]) -> Meter | None:
    """Return the instrument that some readings were taken with: the line of their range, and what its checks showed.

    Args:
        toolbox: As it stands.
        name: What the owner calls the instrument.
        unit: Unit inside of the readings.
        values: Readings, at least one. [unit]

    Returns:
        The meter; None when the toolbox has none of that name.

    Raises:
        Refused: At "meter": it is described in other units only, or for smaller readings only.
    """
    line = line_for(toolbox, name, unit, values)
    if line is None:
        return None
    at = fmean(values)
    meter, seen = from_json(line.data), _checks(toolbox, line)
    for check in seen:
        meter = _corrected(meter, check.data, at)
    return resolved(meter, at)


def reading(toolbox: ToolboxState, quantity: Quantity, *, well: bool = True) -> list[str]:
    """Return the names of instruments that read a quantity: in its unit, and of a kind that suits it.

    Args:
        toolbox: As it stands.
        quantity: What is read.
        well: Only those that would be advised; else also what could be held there, behind them.
    """
    unit = quantity.reads.unit
    lines = [one.data for one in toolbox.instruments if unit_of(one) == unit]
    ways = (True,) if well else (True, False)
    return list(dict.fromkeys(one["name"] for how in ways for one in lines if reads(one["kind"], quantity, well=how)))


def others_for(toolbox: ToolboxState, name: str, quantity: Quantity, values: Sequence[float]) -> list[Meter]:
    """Return what else in the toolbox reads this well, as far as it is known."""
    unit, found = quantity.reads.unit, []
    for other in reading(toolbox, quantity):
        if other != name and _narrowest(
            standing([one for one in toolbox.instruments if one.data["name"] == other], unit), values
        ):
            meter = instrument_for(toolbox, other, unit, values)
            found += [meter] if meter else []
    return found


def in_air(meter: Meter, ambient: str) -> Meter:
    """A meter in the cold or the heat is off by more than its data sheet says for a mild room."""
    if not ambient:
        return meter
    ambient_c = parsed("ambient", lambda: units.quantity(ambient, units.Kind.TEMPERATURE, unit="°C")).value
    return parsed("ambient", lambda: at_temperature(meter, ambient_c))


def _corrected(meter: Meter, check: Mapping[str, Any], at: float) -> Meter:
    if check["zero"]:
        return zeroed(meter, check["shown"])
    return checked(meter, known=check["known"], known_half_width=check["known_half_width"], shown=check["shown"], at=at)


def _checks(toolbox: ToolboxState, line: Event) -> list[Event]:
    """The newest check at zero, then the newest at a point, unless the zero was set anew after it."""
    name, unit = line.data["name"], unit_of(line)
    mine = [one for one in toolbox.checks if (one.data["name"], one.data["unit"]) == (name, unit)]
    zeros = [place for place, one in enumerate(mine) if one.data["zero"]]
    since = mine[zeros[-1] :] if zeros else mine
    lines = standing([one for one in toolbox.instruments if one.data["name"] == name], unit)
    points = [one for one in since if not one.data["zero"] and _narrowest(lines, [one.data["shown"]]) == line]
    return [*since[: 1 if zeros else 0], *points[-1:]]


def line_for(
    toolbox: ToolboxState, name: str, unit: str, values: Sequence[float], *, field: str = "meter"
) -> Event | None:
    """Return the line of an instrument whose unit and range fit some readings; of several the narrowest range.

    Raises:
        Refused: At the field: no line of that unit, or none whose range reaches that far.
    """
    mine = [one for one in toolbox.instruments if one.data["name"] == name]
    if not mine:
        return None
    lines = standing(mine, unit)
    if not lines:
        known = " and ".join(dict.fromkeys(unit_of(one) for one in mine))
        raise Refused({field: f"The {name} is described in {known} only. Take another line."})
    found = _narrowest(lines, values)
    if found is None:
        top = max(_upper(one) for one in lines)
        most = max(values, key=abs)
        raise Refused(
            {
                field: f"The {name} is described up to {top:g} {unit}, and {most:g} {unit} was read. "
                "Take another line, or add the line of that range."
            }
        )
    return found


def _narrowest(lines: Sequence[Event], values: Sequence[float]) -> Event | None:
    fit = [one for one in lines if _holds(one.data, values)]
    return min(reversed(fit), key=_upper) if fit else None


def standing(lines: Sequence[Event], unit: str) -> list[Event]:
    """The lines that count: a newer one of the same range, or of every range, stands for the older ones."""
    found: dict[Any, Event] = {}
    for one in lines:
        if unit_of(one) != unit:
            continue
        ends = (one.data.get("lower"), one.data.get("upper"))
        if ends == (None, None):
            found.clear()
        found[ends] = one
    return list(found.values())


def unit_of(line: Event) -> str:
    """The oldest events describe ohmmeters and say no unit."""
    return str(line.data.get("unit", units.Kind.RESISTANCE.unit))


def _upper(line: Event) -> float:
    upper = line.data.get("upper")
    return float("inf") if upper is None else float(upper)


def _holds(line: Mapping[str, Any], values: Sequence[float]) -> bool:
    """Does a range hold all readings? One that begins at zero holds readings with the probes swapped too."""
    lower, upper = line.get("lower"), line.get("upper")
    if upper is None:
        return True
    return all(abs(one) <= upper if not lower else lower <= one <= upper for one in values)


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
