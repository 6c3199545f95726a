"""Jobs with circuits, opened from a small sheet or the library's, as pages and acts see them."""

import itertools
from datetime import UTC, datetime

from knowngood.acts.entries import Entry
from knowngood.acts.garage import open_garage
from knowngood.acts.record import take
from knowngood.sheet import library

NOW = datetime(2026, 11, 21, 12, 0, tzinfo=UTC)
VEHICLE, JOB = "vehicle/own", "job/one"
SMALL = """
sheet: 1
id: small
title: "Small"
limits:
  along: {{name: "Tilt along", band: "max 0.5 deg", quantity: tilt}}
  across: {{name: "Tilt across", band: "max 0.5 deg", quantity: tilt}}
circuits:
  c: {circuit}
steps:
  - {{id: out, do: "Drain", zone: under, time: "1 2 3 min", drain: c}}
"""


class Kept:
    """A garage with one job; `add` hands over an entry, as typed."""

    def __init__(self, folder, sheet):
        self.garage = open_garage(folder / "garage", clock=lambda: NOW)
        self._ids = itertools.count(1)
        self.add("vehicle_named", VEHICLE, name="Own")
        self.add("job_opened", vehicle="own", sheet=sheet, sheet_file="small.yaml")

    def add(self, kind, stream=JOB, **fields):
        return take(self.garage, Entry(f"{next(self._ids):032x}", stream, kind, fields))

    @property
    def job(self):
        return self.garage.job("one")

    @property
    def vehicle(self):
        return self.garage.vehicle("own")


def with_circuit(folder, circuit):
    """A job whose sheet has the one circuit "c", written as in a sheet."""
    return Kept(folder, SMALL.format(circuit=circuit))


def from_library(folder, name):
    return Kept(folder, library.text(name))
