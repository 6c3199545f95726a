"""The demo: an invented estate that runs hot, half repaired on a Saturday, and a second job. Every word is ours."""

import hashlib
from collections.abc import Iterator
from datetime import datetime, timedelta
from operator import itemgetter

from knowngood.acts.job.garage import Garage
from knowngood.acts.record.entries import Entry
from knowngood.acts.record.take import take
from knowngood.acts.tools.prices import HOUR, part_key
from knowngood.demo import drain
from knowngood.demo.drain import Typed
from knowngood.sheet import library

TWO_JOBS = "Two jobs: an estate that runs hot, half repaired, and a hatchback whose battery is empty after a night."
VEHICLE, JOB, SHEET = "vehicle/tavrick", "job/runs-hot", "runs_hot"
VOLTS, AMPS = "blue meter, volts", "blue meter, amps"
STEP_READ = "battery_reading"
BEGAN_MINUTES_AGO = 200.0  # ours, like all of the demo

BEFORE: tuple[Typed, ...] = (
    (-900, "toolbox", "instrument_added", {"name": "blue meter", "line": "0.8 % + 3 digits, 0.1 ohm"}),
    (-899, "toolbox", "instrument_added", {"name": VOLTS, "line": "0.5 % + 2 digits, 0.01 V"}),
    (-898, "toolbox", "wrench_added", {"name": "small torque wrench", "range": "2..25 N·m"}),
    (-897, "toolbox", "wrench_added", {"name": "big torque wrench", "range": "20..120 N·m"}),
    (-896, "toolbox", "tool_added", {"name": "infrared thermometer"}),
    (-895, "toolbox", "tool_added", {"name": "two axle stands, four chocks, trolley jack"}),
    (-894, "toolbox", "price_stated", {"what": "instrument:multimeter", "amount": "39"}),
    (-893, "toolbox", "price_stated", {"what": "fluid:coolant", "pack": "5 L", "amount": "34"}),
    (-892, "toolbox", "price_stated", {"what": HOUR, "amount": "15"}),
    (-890, VEHICLE, "vehicle_named", {"name": "Ondrelle Tavrick"}),
    (-889, VEHICLE, "described", {"text": "2.2 estate", "odometer": "148300 km", "driven": "front"}),
    (-800, "toolbox", "noted", {"text": "Trailer socket: brown wire green at the crimp. Before winter."}),
)
ANSWERS = {
    "undertray_torque": "8 N·m ± 1",
    "drain_torque": "3 N·m ± 0.5",
    "housing_torque": "9 N·m ± 1",
    "coolant_total": "6.2 L ± 0.3",
    "coolant_kind": "the kind on the cap, 1 to 1 with distilled water",
    "bleed_order": "",
    "jacking_points": "crossmember in front; seams behind the front wheels",
}
COMPLAINT = (
    "Runs hot in traffic, cools on the road. The light came on twice. A journey next week, one Saturday until dark."
)
PARTS = ("coolant_can", "drain_washer", "housing_seal", "relay", "thermostat")
PRICES = {"thermostat": "40", "housing_seal": "6", "relay": "19", "drain_washer": "1"}
# What it was for, how much, and for which part of the sheet: that one is not counted again once it is fitted.
PAID = (
    ("coolant, 5 L", "34", "coolant_can"), ("thermostat", "40", "thermostat"), ("its seal", "6", "housing_seal"),
    ("relay", "19", "relay"), ("washer of the drain plug", "1", "drain_washer"), ("cleaner, chocks", "18", ""),
)  # fmt: skip
STEPS: tuple[Typed, ...] = (
    (2, JOB, "step_done", {"step": "park"}),
    (9, JOB, "step_done", {"step": "note_codes"}),
    (10, JOB, "noted", {"text": "Coolant temperature code stored twice, both at idle, 104 °C.", "step": "note_codes"}),
    (12, JOB, "reading_judged", {"limit": "battery", "read": "12.43 12.44 V", "meter": VOLTS, "step": STEP_READ}),
    (13, JOB, "step_done", {"step": "battery_reading"}),
    (75, JOB, "step_done", {"step": "cool_down"}),
    (78, JOB, "step_done", {"step": "look_level"}),
    (81, JOB, "step_done", {"step": "prove_cap"}),
    (86, JOB, "step_done", {"step": "battery_off"}),
    (90, JOB, "step_done", {"step": "chock"}),
    (99, JOB, "step_done", {"step": "lift"}),
    (106, JOB, "step_done", {"step": "stands"}),
    (107, JOB, "step_done", {"step": "shake"}),
    (128, JOB, "step_done", {"step": "tray_off"}),
    (135, JOB, "step_done", {"step": "look_leaks"}),
    (136, JOB, "noted", {"text": "No leak found. Fan shroud full of leaves, cleared.", "step": "look_leaks"}),
    (166, JOB, "step_done", {"step": "drain", "amount": "4.6 L", "fluid_c": "31 °C"}),
    (171, JOB, "step_done", {"step": "relay_out"}),
    (174, JOB, "step_done", {"step": "relay_pins"}),
)  # fmt: skip


def fill(garage: Garage) -> None:
    """Hand the demo's entries over, as a person would have typed them until now."""
    for entry in entries(garage.clock()):
        take(garage, entry)


def entries(now: datetime) -> Iterator[Entry]:
    """Both stories in the order in which they happened; the first job began a little over three hours ago."""
    began = now - timedelta(minutes=BEGAN_MINUTES_AGO)
    told = sorted([*_typed(), *drain.typed(VOLTS, AMPS)], key=itemgetter(0))
    for number, (minutes, stream, kind, fields) in enumerate(told):
        name = hashlib.sha256(f"demo/{number}".encode()).hexdigest()[:32]
        happened = (began + timedelta(minutes=minutes)).isoformat(timespec="seconds")
        yield Entry(name, stream, kind, fields, device="demo", device_seq=number + 1, happened=happened)


def _typed() -> Iterator[Typed]:
    yield from BEFORE
    opened = {
        "vehicle": VEHICLE.partition("/")[2],
        "sheet": library.text(SHEET),
        "sheet_file": f"{SHEET}.yaml",
        "scope": "mend",
        "complaint": COMPLAINT,
        "quote": "640",
    }
    yield -700, JOB, "job_opened", opened
    for ask, typed in ANSWERS.items():
        yield -690, JOB, "answered", {"ask": ask, "typed": typed, "silent": "" if typed else "yes"}
    for part in PARTS:
        yield -500, JOB, "kit_got", {"part": part}
    for what, amount, part in PAID:
        yield -499, JOB, "paid", {"what": what, "amount": amount, "part": part}
    for part, amount in PRICES.items():
        yield -498, "toolbox", "price_stated", {"what": part_key(SHEET, part), "amount": amount}
    yield 0, JOB, "started", {}
    yield from STEPS
