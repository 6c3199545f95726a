"""The fields of an amount of fluid, the same on Now and on Fluids."""

from collections.abc import Collection, Iterable

from knowngood.acts.fluids.vessels import thermometers_of, vessels_of
from knowngood.acts.job.garage import Garage, Job
from knowngood.acts.record.fluids import keeping
from knowngood.sheet.model import AskRef, Circuit, Fluid, Step
from knowngood.units import Kind
from knowngood.web.parts.forms import Field

EMPTY_IS = "Empty: what the sheet says, {}."


def amount_fields(garage: Garage, job: Job, label: str, *, required: bool = False) -> list[Field]:
    """How much, how warm, and what both were read with; nothing more to ask where the toolbox has nothing for it."""
    toolbox = garage.toolbox()
    vessels, thermometers = vessels_of(toolbox), thermometers_of(toolbox)
    # A field that shows L would make kilograms of what is meant as litres.
    weighs = any(kind is Kind.MASS for kind in vessels.values())
    fields = [
        Field("amount", label, "number", "" if weighs else "L", half=True, required=required,
              hint="In L; in kg, the vessel's own weight taken off, by the scale." if weighs else ""),
        Field("fluid_c", "The fluid is at", "number", "°C", half=True, signed=True),
    ]  # fmt: skip
    if vessels:
        plain = next((name for name, kind in vessels.items() if kind is Kind.VOLUME), "")
        used = _last(job, "vessel", vessels, plain)
        fields.append(_pick("vessel", "Measured with", vessels, used, "The usual jug, or by eye"))
    if len(thermometers) > 1:
        used = _last(job, "thermometer", thermometers, thermometers[0])
        fields.append(_pick("thermometer", "Temperature read with", thermometers, used, "Another thermometer"))
    return fields


def mix_fields(circuits: Iterable[Circuit]) -> list[Field]:
    """What a filling holds, where one of the circuits that it may go into is coolant's."""
    if not any(one.fluid is Fluid.COOLANT for one in circuits):
        return []
    hint = "Coolant that goes in: its share of glycol, such as 50 %; or concentrate, or water."
    return [Field("mix", "Its mix", hint=hint)]


def _pick(name: str, label: str, choices: Iterable[str], used: str, otherwise: str) -> Field:
    return Field(name, label, "pick", value=used, choices=[*((one, one) for one in choices), ("", otherwise)])


def left_fields(job: Job, step: Step) -> list[Field]:
    """How much stayed in each old part that the step renews."""
    return [_left(job, part, circuit) for part, circuit in keeping(job, step)]


def _left(job: Job, part: str, circuit: str) -> Field:
    label = f"How much stayed in the old {job.sheet.parts[part].name}"
    return Field(f"left_{part}", label, "number", "L", hint=_hint(job, part, circuit))


def _hint(job: Job, part: str, circuit: str) -> str:
    amount = job.sheet.circuits[circuit].left_in[part]
    return "By eye." if isinstance(amount, AskRef) else EMPTY_IS.format(amount.text)


def _last(job: Job, key: str, names: Collection[str], otherwise: str) -> str:
    """What was used last in this job."""
    for event in reversed(job.state.fluids):
        used = event.data.get(key)
        name = used["name"] if isinstance(used, dict) else used
        if name in names:
            return str(name)
    return otherwise
