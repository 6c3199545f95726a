"""Entries about fluids: what went out, in, beside or stayed in a part, and a temperature that is followed."""

from knowngood import units
from knowngood.acts.fluids.at_window import counts_at
from knowngood.acts.fluids.circuit_facts import liquid_of
from knowngood.acts.fluids.ledger import ledger
from knowngood.acts.fluids.temperature_log import COLDEST_C, HOTTEST_C
from knowngood.acts.fluids.vessels import measured, thermometers_of, vessel_json, vessels_of
from knowngood.acts.fluids.warming import READ_WITH
from knowngood.acts.job.garage import Garage, Job
from knowngood.acts.record.entries import Draft, Entry
from knowngood.acts.record.mixes import mix_of
from knowngood.acts.record.window import refuse_sudden
from knowngood.acts.tools.toolbox import instrument_for
from knowngood.engine.fluids.cans import MOST_L
from knowngood.engine.fluids.expansion import REFERENCE_C, Liquid
from knowngood.engine.fluids.ledger import JUG, SAYS, Moved, Way, at_20
from knowngood.engine.measurement.meters.calibration import Calibration
from knowngood.refusal import Refused, parsed
from knowngood.sheet.model import Fill, Fluid, Step
from knowngood.store.folds import ToolboxState
from knowngood.store.states import OF_DONE

K = units.Kind
# Ours: fluid that went out longer ago has long been at the temperature around it. [min]
LONGEST_AGO_MIN = 180.0


def moved_with(garage: Garage, job: Job, step: Step, entry: Entry) -> list[Draft]:
    """Fluid that went out or in with a step, or stayed in a part it renewed; unmeasured when nothing was typed."""
    circuit = step.fill.circuit if isinstance(step.fill, Fill) else step.drain
    way = Way.IN if step.fill else Way.OUT
    drafts = [_stayed(job, step, part, name, entry) for part, name in keeping(job, step) if entry.text(f"left_{part}")]
    if circuit is None or not entry.text("amount"):
        return drafts
    return [Draft("fluid_moved", {**_poured(garage, job, circuit, way, entry), "step": step.id}), *drafts]


def keeping(job: Job, step: Step) -> list[tuple[str, str]]:
    """The parts that a step renews and in whose old ones fluid stayed, each with its circuit."""
    return [(part, name) for part in step.fit for name, one in job.sheet.circuits.items() if part in one.left_in]


def _stayed(job: Job, step: Step, part: str, circuit: str, entry: Entry) -> Draft:
    field = f"left_{part}"
    typed = units.completed(entry.text(field), "L")
    litre = _litre(field, typed)
    moved = {"circuit": circuit, "way": Way.LEFT, "typed": typed, "litre": litre, "temperature_c": None}
    _refuse_more(job, circuit, Moved(Way.LEFT, litre, None, JUG), typed, field)
    return Draft("fluid_moved", {**moved, "vessel": None, "thermometer": None, "part": part, "step": step.id})


def fluid_moved(garage: Garage, entry: Entry) -> list[Draft]:
    """Fluid that went somewhere beside the steps."""
    circuit, way = _circuit(garage, entry), entry.needed("way", "out, in, spilled or left")
    if way not in tuple(Way):
        raise Refused({"way": f'"{way}" is no way for fluid to go. Take out, in, spilled or left.'})
    job = garage.job(entry.of)
    of = _unwritten(job, circuit, Way(way), entry.text("step")) if entry.text("step") else {"step": None}
    return [Draft("fluid_moved", {**_poured(garage, job, circuit, Way(way), entry), **of})]


def _unwritten(job: Job, circuit: str, way: Way, step: str) -> dict[str, str]:
    """The step whose amount is written down afterwards, and the entry that says it is done.

    Raises:
        Refused: It is not done, moves something else, or somebody wrote it down meanwhile.
    """
    if any((one.step, one.way) == (step, way) for one in ledger(job, circuit).unwritten):
        return {"step": step, OF_DONE: job.state.newest("step_done", "step")[step].id}
    raise Refused({"": "That amount was written down meanwhile, or its step was taken back. Reload the page."})


def temperature_read(garage: Garage, entry: Entry) -> list[Draft]:
    """A temperature of a fluid on its way to the window, with how long ago it was read."""
    return [_read(garage, garage.job(entry.of), _circuit(garage, entry), entry)]


def read_with_step(garage: Garage, job: Job, step: Step, entry: Entry) -> list[Draft]:
    """The temperature that was typed with a step at which it counts."""
    circuit = counts_at(job, step)
    return [_read(garage, job, circuit, entry)] if circuit and entry.text("celsius") else []


def _read(garage: Garage, job: Job, circuit: str, entry: Entry) -> Draft:
    typed = units.completed(entry.needed("celsius", "the temperature, such as 41"), "°C")
    read = parsed("celsius", lambda: units.readings(typed, K.TEMPERATURE, unit="°C"))
    if len(read.values) != 1:
        raise Refused({"celsius": f'"{typed}" holds {len(read.values)} numbers; write one temperature, such as 41.'})
    if not COLDEST_C <= read.values[0] <= HOTTEST_C:
        raise Refused(
            {"celsius": f'"{typed}" is no temperature of a fluid in a vehicle. Check the number and °C or °F.'}
        )
    read_with = entry.text("read_with") or "display"
    if read_with not in READ_WITH:
        raise Refused({"read_with": f'"{read_with}" is none of the choices. Take {" or ".join(READ_WITH)}.'})
    ago_min = _ago(entry)
    refuse_sudden(garage, job, circuit, entry, read, ago_min)
    data = {"circuit": circuit, "typed": typed, "celsius": read.values[0], "step_k": read.step}
    return Draft("temperature_read", {**data, "read_with": read_with, "ago_min": ago_min})


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


def _poured(garage: Garage, job: Job, circuit: str, way: Way, entry: Entry) -> dict[str, object]:
    """One pouring as it is kept: the words, the litres, its temperature, and what both were read with."""
    toolbox, one = garage.toolbox(), job.sheet.circuits[circuit]
    liquid = liquid_of(one)
    # The eye has seen what is on the ground or in an old part; no vessel has.
    name = entry.text("vessel") if way in (Way.OUT, Way.IN) else ""
    kind = vessels_of(toolbox).get(name, K.VOLUME)
    typed = units.completed(entry.needed("amount", "how much, such as 4.6 L"), kind.unit)
    thermometer = _thermometer(toolbox, entry)
    warm, celsius = _temperature(liquid, entry, toolbox, thermometer)
    if name:
        shown = parsed("amount", lambda: units.quantity(typed))
        _above_zero("amount", typed, shown.value)
        litre, vessel = measured(toolbox, name, shown, one, liquid)
        _above_zero("amount", typed, litre)
        weighed = kind is K.MASS
        litre = litre * float(liquid.relative(celsius)) if weighed and celsius is not None else litre
        celsius = REFERENCE_C if weighed and celsius is None else celsius
    else:
        litre, vessel = _litre("amount", typed), None
    # Also by eye: nobody takes twice of what a circuit holds for what it holds.
    _refuse_more(job, circuit, Moved(way, litre, celsius, vessel or JUG), typed, "amount")
    return {
        "circuit": circuit,
        "way": way,
        "typed": f"{typed} at {warm}" if warm else typed,
        "litre": litre,
        "temperature_c": celsius,
        "vessel": None if vessel is None else vessel_json(vessel),
        "thermometer": thermometer,
        **(mix_of(entry) if way is Way.IN and one.fluid is Fluid.COOLANT else {}),
    }


def _temperature(
    liquid: Liquid, entry: Entry, toolbox: ToolboxState, thermometer: str | None
) -> tuple[str, float | None]:
    """The temperature of a pouring as typed, and in °C without its thermometer's known error; None: nobody took it."""
    warm = units.completed(entry.text("fluid_c"), "°C")
    if not warm:
        return "", None
    celsius = parsed("fluid_c", lambda: units.quantity(warm, K.TEMPERATURE, unit="°C").value)
    checked = _held_in(toolbox, thermometer, celsius)
    celsius -= checked.error(celsius) if checked else 0.0
    parsed("fluid_c", lambda: liquid.check(celsius))
    return warm, celsius


def _held_in(toolbox: ToolboxState, thermometer: str | None, celsius: float) -> Calibration | None:
    """A thermometer of the toolbox with its checks; one that is described for less heat is refused."""
    try:
        return instrument_for(toolbox, thermometer or "", K.TEMPERATURE.unit, [celsius])
    except Refused as refused:
        raise Refused({"thermometer": refused.problems["meter"]}) from refused


def _thermometer(toolbox: ToolboxState, entry: Entry) -> str | None:
    name = entry.text("thermometer")
    if name and name not in thermometers_of(toolbox):
        raise Refused({"thermometer": f'"{name}" is nothing in the toolbox that reads a temperature. Choose another.'})
    return name or None


def _litre(field: str, typed: str) -> float:
    litre = parsed(field, lambda: units.quantity(typed, K.VOLUME, unit="L").value)
    _above_zero(field, typed, litre)
    return litre


def _above_zero(field: str, typed: str, amount: float) -> None:
    if amount <= 0.0:
        raise Refused({field: f'"{typed}" is not an amount of fluid. Write what went, above zero, such as 4.6 L.'})


def _refuse_more(job: Job, circuit: str, moved: Moved, typed: str, field: str) -> None:
    """One pouring is never more than the circuit holds; without a total, than any vehicle of a home mechanic does."""
    one = job.sheet.circuits[circuit]
    total = one.holds if isinstance(one.holds, units.Tolerance) else None
    most = MOST_L if total is None else total.value + (total.half_width or 0.0)
    try:
        at_20(moved, liquid_of(one), total_l=most)
    except ValueError as refused:
        holds = f"the circuit holds {total.text} in all" if total else f"no vehicle here holds more than {MOST_L:g} L"
        said = f"{typed} {SAYS[moved.way]}, and {holds}."
        raise Refused({field: f"{said} Check the reading and its unit, or the total that your manual states."}) from (
            refused
        )
