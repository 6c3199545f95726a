"""What is asked where a fluid's warmth counts: a temperature outside its window, and one that no fluid can have."""

from datetime import datetime, timedelta
from typing import Any

from knowngood import units
from knowngood.acts.fluids.at_window import CHOICES, counts_at, outside_words
from knowngood.acts.fluids.warm_ups import moment_of, read_times
from knowngood.acts.fluids.warming import READ_WITH
from knowngood.acts.job.garage import Garage, Job
from knowngood.acts.record.entries import Draft, Entry
from knowngood.refusal import Refused, parsed
from knowngood.sheet.model import Step
from knowngood.store.moment import instant

# Ours: in the 33 warm-ups that were looked at, idling or driven, coolant rose by at most 10 K in 30 s and 21 K in 90 s;
# oil is slower. A thermostat that opens makes a step beside it. [K/min, K]
FASTEST_K_PER_MIN, STEP_K = 15.0, 5.0
# Ours: after an hour it may have stood, been driven or been filled anew, and any temperature can be.
NOT_SOONER = timedelta(hours=1)


def asked_at_window(garage: Garage, job: Job, step: Step, entry: Entry, typed: list[Draft]) -> dict[str, Any]:
    """Return what a step that opens a level's plug or sets the level keeps of the window; nothing at any other.

    Args:
        garage: For the time, where the entry has none.
        job: Its job.
        step: About to be done.
        entry: As typed; `window` answers what is asked outside it.
        typed: The temperature typed with it, if one was.

    Raises:
        Refused: The fluid is outside its window, or nobody can say, and nobody answered that.
    """
    circuit = counts_at(job, step)
    if circuit is None:
        return {}
    choice = entry.text("window")
    if choice and choice not in CHOICES:
        raise Refused({"window": f'"{choice}" is none of the choices. Take {" or ".join(CHOICES)}.'})
    celsius = float(typed[0].data["celsius"]) if typed else None
    words = outside_words(job, circuit, celsius, _moment(garage, job, entry))
    if words and not choice:
        raise Refused({"window": words})
    return {"window": {"circuit": circuit, "choice": choice or None, "words": words}} if words else {}


def refuse_sudden(garage: Garage, job: Job, circuit: str, entry: Entry, read: units.Readings, ago_min: float) -> None:
    """Ask about a temperature that no fluid can have so soon after another; written twice, it is taken.

    Raises:
        Refused: It is too far from the one before or after it.
    """
    at, celsius = _moment(garage, job, entry) - timedelta(minutes=ago_min), read.values[0]
    read_with = entry.text("read_with") or "display"
    again = units.completed(entry.text("again"), "°C")
    if again:
        repeated = parsed("again", lambda: units.readings(again, units.Kind.TEMPERATURE, unit="°C"))
        if repeated.values == read.values:
            return
    # The nearest in time is the one that the person has in mind.
    for other_at, event in sorted(read_times(job, circuit), key=lambda row: abs(row[0] - at)):
        apart = abs(other_at - at)
        tools = {event.data["read_with"], read_with}
        doubt = sum(READ_WITH[one].own_k + READ_WITH[one].shared_k for one in tools) if len(tools) > 1 else 0.0
        most = STEP_K + doubt + FASTEST_K_PER_MIN * apart.total_seconds() / 60.0
        moved = celsius - float(event.data["celsius"])
        if apart < NOT_SOONER and abs(moved) > most:
            raise Refused({"again": _sudden_words(event.data["typed"], moved, apart)})


def _sudden_words(before: str, moved: float, apart: timedelta) -> str:
    seconds = apart.total_seconds()
    took = f"{seconds:.0f} s" if seconds < 90.0 else f"{seconds / 60.0:.0f} min"
    way = "warmer" if moved > 0.0 else "colder"
    return (
        f"{abs(moved):.0f} K {way} than {before}, within {took}: no fluid changes so fast. Look at the number, the "
        "minus and the minutes; write it again here if it is right."
    )


def _moment(garage: Garage, job: Job, entry: Entry) -> datetime:
    return moment_of(job, entry.device, entry.happened, instant(garage.now()))
