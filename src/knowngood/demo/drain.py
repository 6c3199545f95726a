"""The demo's second job: a battery that is empty after a night, before the test that says more than a new one."""

from knowngood.acts.tools.prices import part_key
from knowngood.sheet import library

# Minutes since the first job began, the stream, the kind and its fields.
Typed = tuple[float, str, str, dict[str, str]]

VEHICLE, JOB, SHEET = "vehicle/oskelt", "job/empty-overnight", "battery_drain"
ANSWERS = {
    "sleep_time": "25 min after locking; an open door or the key beside it wakes it",
    "power_loss": "radio code, windows, clock",
    "fuse_plan": "in the lid; 30 to 36 are of belts and airbags",
    "airbag_wait": "10 min",
    "battery_kind": "70 Ah, vented to outside, nothing to register",
    "clamp_torque": "6 N·m ± 1",
    "holder_torque": "15 N·m ± 2",
    "alternator_torque": "45 N·m ± 5",
    "belt_way": "the picture on the crossmember; tensioner, 15 mm",
}
COMPLAINT = (
    "Would not start on Monday after two nights' standing, nor today after one. The shop says: it is the battery, "
    "five years old."
)
FIRST = {
    "when": "in the morning only, the longer it stood the surer; never twice on one day",
    "how": "clicks, the lamps go dim; with a helper's cable it starts at once",
    "since": "three weeks; nothing was built in, the boot was full of moving boxes",
    "codes": "low voltage in four control units, nothing else",
    "recall": "asked, none is open; the battery is out of warranty",
}


def typed(volts: str, amps: str) -> tuple[Typed, ...]:
    """Return what was typed of it, in order, with the minutes since the other job began.

    Args:
        volts: Name of the instrument that volts are read with.
        amps: Name of that for amperes.
    """
    rested = {"rested": "26", "temperature": "9 ± 3", "battery": "flooded"}
    found = {"limit": "charge_found", "read": "12.06 12.06 V", "meter": volts, **rested}
    opened = {
        "vehicle": VEHICLE.partition("/")[2],
        "sheet": library.text(SHEET),
        "sheet_file": f"{SHEET}.yaml",
        "complaint": COMPLAINT,
        "quote": "310",
    }
    return (
        (-698, "toolbox", "instrument_added", {"name": amps, "line": "1.5 % + 5 digits, 0.001 A"}),
        (-697, VEHICLE, "vehicle_named", {"name": "Fennimar Oskelt"}),
        (-696, VEHICLE, "described", {"text": "1.4 hatchback", "odometer": "86150 km", "driven": "front"}),
        (-695, JOB, "job_opened", opened),
        *((-694, JOB, "answered", {"ask": ask, "typed": said}) for ask, said in ANSWERS.items()),
        (-693, "toolbox", "price_stated", {"what": part_key(SHEET, "battery"), "amount": "128"}),
        *(
            (-692, JOB, "finding_noted", {"test": f"first:{one}", "outcome": "noted", "text": said})
            for one, said in FIRST.items()
        ),
        (-690, JOB, "started", {}),
        (-690, JOB, "step_done", {"step": "note_story"}),
        (-689, JOB, "step_done", {"step": "note_codes"}),
        (-688, JOB, "step_done", {"step": "ask_goodwill"}),
        (-684, JOB, "step_done", {"step": "park"}),
        (-681, JOB, "step_done", {"step": "look_battery", "choice": "sound"}),
        (-679, JOB, "reading_judged", {**found, "step": "read_found"}),
        (-678, JOB, "step_done", {"step": "read_found"}),
        (-674, JOB, "step_done", {"step": "film_lamps"}),
        (-673, JOB, "finding_noted", {"test": "lamp_filmed", "outcome": "no", "text": "both dark"}),
        (-185, JOB, "step_done", {"step": "charge"}),
        (-32, JOB, "step_done", {"step": "engine_on"}),
        *_read(-30, "read_charging", "charging", "14.31 14.33 V", volts),
        *_read(-26, "read_plus", "drop_plus", "0.07 0.08 V", volts),
        *_read(-23, "read_ground", "drop_ground", "0.03 0.04 V", volts),
        (-21, JOB, "step_done", {"step": "engine_off"}),
    )


def _read(minutes: float, step: str, limit: str, read: str, meter: str) -> tuple[Typed, Typed]:
    fields = {"limit": limit, "read": read, "meter": meter, "step": step}
    return (minutes, JOB, "reading_judged", fields), (minutes, JOB, "step_done", {"step": step})
