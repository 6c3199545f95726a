"""Entries about fluids: what went out, in, beside or stayed in a part, and a temperature that is followed."""

from knowngood import units
from knowngood.acts.entries import Draft, Entry
from knowngood.acts.garage import Garage
from knowngood.acts.warming import HOTTEST_C, READ_WITH
from knowngood.engine.fluids.ledger import SAYS, Way
from knowngood.refusal import Refused, parsed
from knowngood.sheet.model import Fill, Step

K = units.Kind
LONGEST_AGO_MIN = 180.0


def moved_with(step: Step, entry: Entry) -> list[Draft]:
    """Fluid that went out or in with a step; left unmeasured when nothing was typed."""
    circuit = step.fill.circuit if isinstance(step.fill, Fill) else step.drain
    if circuit is None or not entry.text("amount"):
        return []
    way = Way.IN if step.fill else Way.OUT
    return [Draft("fluid_moved", {**_fluid(entry), "circuit": circuit, "way": way, "step": step.id})]


def fluid_moved(garage: Garage, entry: Entry) -> list[Draft]:
    """Fluid that went somewhere beside the steps."""
    circuit, way = _circuit(garage, entry), entry.needed("way", "out, in, spilled or left")
    if way not in tuple(Way):
        raise Refused({"way": f'"{way}" is no way for fluid to go. Take out, in, spilled or left.'})
    total = garage.job(entry.of).sheet.circuits[circuit].holds
    fluid = _fluid(entry)
    if isinstance(total, units.Tolerance) and float(str(fluid["litre"])) > 1.2 * (
        total.value + (total.half_width or 0)
    ):
        said = f"{fluid['typed']} {SAYS[Way(way)]}, and the circuit holds {total.text} in all."
        raise Refused({"amount": f"{said} Check the reading and its unit, or the total that your manual states."})
    return [Draft("fluid_moved", {**fluid, "circuit": circuit, "way": way, "step": None})]


def temperature_read(garage: Garage, entry: Entry) -> list[Draft]:
    """A temperature of a fluid on its way to the window, with how long ago it was read."""
    circuit = _circuit(garage, entry)
    typed = units.completed(entry.needed("celsius", "the temperature, such as 41"), "°C")
    read = parsed("celsius", lambda: units.readings(typed, K.TEMPERATURE, unit="°C"))
    if len(read.values) != 1:
        raise Refused({"celsius": f'"{typed}" holds {len(read.values)} numbers; write one temperature, such as 41.'})
    if not -60.0 <= read.values[0] <= HOTTEST_C:
        raise Refused(
            {"celsius": f'"{typed}" is no temperature of a fluid in a vehicle. Check the number and °C or °F.'}
        )
    read_with = entry.text("read_with") or "display"
    if read_with not in READ_WITH:
        raise Refused({"read_with": f'"{read_with}" is none of the choices. Take {" or ".join(READ_WITH)}.'})
    data = {"circuit": circuit, "typed": typed, "celsius": read.values[0], "step_k": read.step}
    return [Draft("temperature_read", {**data, "read_with": read_with, "ago_min": _ago(entry)})]


def _ago(entry: Entry) -> float:
    typed = units.completed(entry.text("ago"), "min")
    minutes = parsed("ago", lambda: units.quantity(typed, K.DURATION, unit="min").value) if typed else 0.0
    if not 0.0 <= minutes <= LONGEST_AGO_MIN:
        raise Refused({"ago": f'"{typed}" ago is too far back to say anything of now. Write from 0 to 180 min.'})
    return minutes


def _circuit(garage: Garage, entry: Entry) -> str:
    circuit = entry.needed("circuit", "which circuit")
    if circuit not in garage.job(entry.of).sheet.circuits:
        raise Refused({"circuit": f'"{circuit}" is not a circuit of this job.'})
    return circuit


def _fluid(entry: Entry) -> dict[str, object]:
    typed = units.completed(entry.needed("amount", "how much, such as 4.6 L"), "L")
    warm = units.completed(entry.text("fluid_c"), "°C")
    litre = parsed("amount", lambda: units.quantity(typed, K.VOLUME, unit="L").value)
    if litre <= 0:
        raise Refused({"amount": f'"{typed}" is not an amount of fluid. Write what went, above zero, such as 4.6 L.'})
    celsius = parsed("fluid_c", lambda: units.quantity(warm, K.TEMPERATURE, unit="°C").value) if warm else None
    if celsius is not None and not -50.0 <= celsius <= 150.0:
        raise Refused(
            {"fluid_c": f'"{warm}" is no temperature of a fluid that is poured. Check the number and its unit.'}
        )
    return {"typed": f"{typed} at {warm}" if warm else typed, "litre": litre, "temperature_c": celsius}
