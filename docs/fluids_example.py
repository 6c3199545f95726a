"""The invented job that the page on fluids shows, in a garage that is gone once the page is made."""

import itertools
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from knowngood.acts.job.garage import Garage, open_garage
from knowngood.acts.record.entries import Entry
from knowngood.acts.record.take import take

NOW = datetime(2026, 11, 21, 12, 0, tzinfo=UTC)
VEHICLE, JOB = "vehicle/own", "job/fluids"
SHEET = """
sheet: 1
id: fluids
title: "Gearbox and coolant"
limits:
  along: {name: "Tilt along", band: "max 0.5 deg", quantity: tilt}
  across: {name: "Tilt across", band: "max 0.5 deg", quantity: tilt}
parts:
  strainer: {name: "strainer", single_use: true}
circuits:
  gearbox:
    name: "Gearbox"
    fluid: gearbox oil
    holds: "8.5 L ± 0.3"
    refill: gearbox.fill
    density: "850 kg/m³ ± 10"
    left_in: {strainer: "0.2 L ± 0.15"}
    level:
      by: overflow_plug
      window: "35..45 °C"
      pan: {length: "350 mm", width: "250 mm"}
      plug_to_middle: {along: "100 mm", across: "50 mm"}
      tilt: {along: along, across: across}
  coolant: {name: "Coolant", fluid: coolant, holds: "6.2 L ± 0.3", refill: coolant.cap, freezes: "-30 °C"}
steps:
  - {id: drain, do: "Drain the gearbox", zone: under, time: "1 2 3 min", drain: gearbox}
  - {id: strainer_in, do: "New strainer", zone: under, time: "1 2 3 min", fit: [strainer], after: [drain]}
  - {id: refill, do: "Fill", zone: under, time: "1 2 3 min", fill: {circuit: gearbox, amount: "4 L ± 0.5"},
    after: [strainer_in]}
"""
TYPED = (
    (VEHICLE, "vehicle_named", {"name": "Own"}),
    ("toolbox", "price_stated", {"what": "fluid:gearbox oil", "pack": "1 L", "amount": "12"}),
    ("toolbox", "price_stated", {"what": "fluid:gearbox oil", "pack": "5 L", "amount": "50"}),
    (JOB, "job_opened", {"vehicle": "own", "sheet": SHEET}),
    (JOB, "step_done", {"step": "drain", "amount": "3.4 L", "fluid_c": "45 °C"}),
    (JOB, "step_done", {"step": "strainer_in"}),
    (JOB, "mix_read", {"circuit": "coolant", "share": "38"}),
    (JOB, "fluid_moved", {"circuit": "coolant", "way": "out", "amount": "2.5 L", "fluid_c": "25 °C"}),
    (VEHICLE, "topped_up", {"amount": "0.5 L", "odometer": "141200 km", "most": "0.5"}),
    (VEHICLE, "topped_up", {"amount": "0.6 L", "odometer": "144300 km"}),
    (VEHICLE, "topped_up", {"amount": "0.5 L", "odometer": "147500 km"}),
)


@contextmanager
def garage() -> Iterator[tuple[Garage, Path]]:
    """The garage and its folder, with all that was typed."""
    with TemporaryDirectory() as scratch:
        folder = Path(scratch) / "garage"
        with open_garage(folder, clock=lambda: NOW) as opened:
            number = itertools.count(1)
            for stream, kind, fields in TYPED:
                take(opened, Entry(f"{next(number):032x}", stream, kind, fields))
            yield opened, folder
