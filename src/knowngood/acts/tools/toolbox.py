"""The toolbox: instruments added, and the one that a reading was taken with, as far as it is known."""

from collections.abc import Mapping, Sequence
from statistics import fmean
from typing import Any

from knowngood import units
from knowngood.acts.tools.instruments import from_json, sets_zero
from knowngood.engine.measurement.meters.calibration import Calibration, Point, standing_points
from knowngood.engine.measurement.meters.checking import at_temperature
from knowngood.engine.measurement.meters.instruments import Meter
from knowngood.quantities.kinds import reads
from knowngood.quantities.model import Quantity
from knowngood.refusal import Refused, parsed
from knowngood.store.event import Event
from knowngood.store.folds import ToolboxState

OTHER = "other"


def instrument_for(toolbox: ToolboxState, name: str, unit: str, values: Sequence[float]) -> Calibration | None:
    """Return the instrument that some readings were taken with: the line of their range, and what its checks showed.

    Args:
        toolbox: As it stands.
        name: What the owner calls the instrument.
        unit: Unit inside of the readings.
        values: Readings, at least one. [unit]

    Returns:
        The instrument and its checks; None when the toolbox has none of that name.

    Raises:
        Refused: At "meter": it is described in other units only, or for smaller readings only.
    """
    line = line_for(toolbox, name, unit, values)
    if line is None:
        return None
    return calibration_of(toolbox, line)


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
            checked = instrument_for(toolbox, other, unit, values)
            found += [checked.trusted(fmean(values))] if checked else []
    return found


def in_air(meter: Meter, ambient: str) -> Meter:
    """A meter in the cold or the heat is off by more than its data sheet says for a mild room."""
    if not ambient:
        return meter
    ambient_c = parsed("ambient", lambda: units.quantity(ambient, units.Kind.TEMPERATURE, unit="°C")).value
    return parsed("ambient", lambda: at_temperature(meter, ambient_c))


def calibration_of(toolbox: ToolboxState, line: Event) -> Calibration:
    """Return what the checks of an instrument have shown for one of its lines.

    Args:
        toolbox: As it stands.
        line: The line.
    """
    meter, (zeros, points) = from_json(line.data), checks_of(toolbox, line)
    checks = _in_order(toolbox, line)
    stand = tuple(_point(one, checks, zeros) for one in points)
    if not zeros:
        return Calibration(meter, stand)
    zero = zeros[-1].data
    return Calibration(meter, stand, zero["shown"], zero["known_half_width"] + 0.5 * meter.step)


def checks_of(toolbox: ToolboxState, line: Event) -> tuple[list[Event], list[Event]]:
    """All checks at zero, then those that stand at points within the range of a line; each by the day of the check."""
    name, unit = line.data["name"], unit_of(line)
    mine = _in_order(toolbox, line)
    lines = standing([one for one in toolbox.instruments if one.data["name"] == name], unit)
    zeros = [one for one in mine if _at_zero(one, line)]
    points = [
        one
        for one in mine
        if one not in zeros and not of_leads(unit, one.data["known"]) and _narrowest(lines, [one.data["shown"]]) == line
    ]
    stand = standing_points(from_json(line.data), [one.data["known"] for one in points])
    return zeros, [points[place] for place in stand]


def _in_order(toolbox: ToolboxState, line: Event) -> list[Event]:
    """All checks of an instrument in the unit of a line by their day; of one day, the one entered last is the last."""
    of = (line.data["name"], unit_of(line))
    mine = [one for one in toolbox.checks if (one.data["name"], one.data["unit"]) == of]
    return sorted(mine, key=lambda one: str(one.data["date"]))


def _at_zero(check: Event, line: Event) -> bool:
    """A check of the zero; of one that is none of the kinds known here, an older program took it for a point."""
    return bool(check.data["zero"]) or (check.data["known"] == 0.0 and sets_zero(line.data))


def of_leads(unit: str, known: float) -> bool:
    """Does a check show the test leads? An ohmmeter reads them as its probes touch, and each reading asks for them."""
    return unit == units.Kind.RESISTANCE.unit and known == 0.0


def _point(check: Event, checks: Sequence[Event], zeros: Sequence[Event]) -> Point:
    """A check with the zero that it was read from.

    That is the last one before it on its day, for the zero may have been set anew right after it; else the first one
    after it on that day, the newest of an earlier day, or the first there is.

    Args:
        check: Against a known value.
        checks: All of the instrument, in their order.
        zeros: Those of its zero, in the same order.
    """
    places = {one.id: place for place, one in enumerate(checks)}
    before = [one for one in zeros if places[one.id] < places[check.id]]
    after = [one for one in zeros if places[one.id] > places[check.id]]
    of_its_day = [one for one in (*reversed(before), *after) if one.data["date"] == check.data["date"]]
    nearest = next(iter((*of_its_day, *reversed(before), *after)), None)
    zero = None if nearest is None else nearest.data["shown"]
    return Point(check.data["known"], check.data["known_half_width"], check.data["shown"], zero)


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
