"""Jobs with circuits, opened from a small sheet or the library's, as pages and acts see them."""

from tests.garages import NOW, giving, open_until_the_end

from knowngood.acts.job.garage import open_garage
from knowngood.sheet import library

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
    """A garage with one job, open until the end of the test; `add` hands over an entry, as typed."""

    def __init__(self, folder, sheet, **opened):
        self.garage = open_until_the_end.enter_context(open_garage(folder / "garage", clock=lambda: NOW))
        self.add = giving(self.garage, JOB)
        self.add("vehicle_named", VEHICLE, name="Own")
        self.add("job_opened", vehicle="own", sheet=sheet, sheet_file="small.yaml", **opened)

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
