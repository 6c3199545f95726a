"""Entries about the mix in a coolant circuit."""

from typing import Any

from knowngood import units
from knowngood.acts.fluids.coolant_mix import READ_WITH
from knowngood.acts.job.garage import Garage
from knowngood.acts.record.entries import Draft, Entry
from knowngood.engine.fluids.coolant import CONCENTRATE_HALF, CONCENTRATE_PERCENT, READY_HALF, share_for
from knowngood.engine.fluids.expansion import check_share
from knowngood.refusal import Refused, parsed
from knowngood.sheet.circuits import Fluid


def mix_of(entry: Entry) -> dict[str, Any]:
    """What a filling holds, as an event keeps it; nothing when nobody said.

    Raises:
        Refused: More than 60 % that is no concentrate, or no share at all.
    """
    typed = entry.text("mix").lower()
    if not typed:
        return {}
    known = {"concentrate": (CONCENTRATE_PERCENT, CONCENTRATE_HALF), "water": (0.0, 0.0)}
    value, half = known[typed] if typed in known else (_share("mix", typed), READY_HALF)
    return {"mix": {"typed": typed, "percent": value, "half_width": half}}


def mix_read(garage: Garage, entry: Entry) -> list[Draft]:
    """The share of glycol in a circuit as it was read, and down to where it must not freeze."""
    job, circuit = garage.job(entry.of), entry.needed("circuit", "which circuit")
    one = job.sheet.circuits.get(circuit)
    if one is None or one.fluid is not Fluid.COOLANT:
        raise Refused({"circuit": f'"{circuit}" is no circuit of coolant in this job.'})
    value = _share("share", entry.text("share")) if entry.text("share") else None
    wanted = _freezing(entry) if entry.text("freezes") else None
    if value is None and wanted is None:
        raise Refused({"share": "Nothing is written here. Write the share that you read, or how cold it gets."})
    read_with = entry.text("read_with") or "refractometer"
    if read_with not in READ_WITH:
        raise Refused({"read_with": f'"{read_with}" is none of the choices. Take {" or ".join(READ_WITH)}.'})
    data = {"circuit": circuit, "percent": value, "half_width": READ_WITH[read_with][1], "read_with": read_with}
    typed = ", ".join(one for one in (_percent_typed(entry), _degrees_typed(entry)) if one)
    return [Draft("mix_read", {**data, "freezes_c": wanted, "typed": typed})]


def _share(field: str, typed: str) -> float:
    typed = units.completed(typed, "%")
    value = parsed(field, lambda: units.quantity(typed, units.Kind.SHARE, unit="%").value)
    try:
        check_share(value)
    except ValueError as refused:
        more = " Undiluted? Write concentrate." if field == "mix" else ""
        raise Refused({field: f"{refused}{more}"}) from refused
    return value


def _freezing(entry: Entry) -> float:
    typed = _degrees_typed(entry)
    celsius = parsed("freezes", lambda: units.quantity(typed, units.Kind.TEMPERATURE, unit="°C").value)
    parsed("freezes", lambda: share_for(celsius))
    return celsius


def _percent_typed(entry: Entry) -> str:
    return units.completed(entry.text("share"), "%")


def _degrees_typed(entry: Entry) -> str:
    return units.completed(entry.text("freezes"), "°C")
