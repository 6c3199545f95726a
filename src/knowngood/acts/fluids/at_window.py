"""The steps at which a fluid's warmth counts: from the first plug to the last, and what it was when they were done."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from knowngood import units
from knowngood.acts.fluids.warm_ups import read_times, warming, window_of
from knowngood.acts.job.garage import Job
from knowngood.acts.job.run import Standing
from knowngood.acts.readings.values import span_words
from knowngood.sheet.facts import Fact
from knowngood.sheet.model import Step
from knowngood.store.event import Event
from knowngood.store.moment import instant
from knowngood.words import clock_words

# Ours: a temperature in the window tells of so many minutes, unless the fluid may leave it sooner: about what it
# takes to open a plug, let it run or fill it, and close it.
TELLS_OF = timedelta(minutes=10)
SAID_OPEN, ALL_THE_SAME = "open", "all_the_same"
CHOICES = {SAID_OPEN: "It is in the window by now", ALL_THE_SAME: "Do it all the same"}


def port_of(job: Job, circuit: str) -> str | None:
    """The fact that the plug of its level is open; None where a level has none."""
    level = job.sheet.circuits[circuit].level
    return Fact("open", level.port).text if level and level.port else None


def sets_level(job: Job, circuit: str, step: Step) -> bool:
    """Is the level right from here on: does the step set it, or close its plug?"""
    ends = {fact.text for fact in step.ends}
    return step.level == circuit or bool(ends & {port_of(job, circuit), Fact("level_unset", circuit).text})


def opens_port(job: Job, circuit: str, step: Step) -> bool:
    """Does the step open the plug of the circuit's level?"""
    return port_of(job, circuit) in {fact.text for fact in step.makes}


def counts_at(job: Job, step: Step) -> str | None:
    """The circuit whose temperature is evidence at this step; None where none is, or nobody states a window."""
    for name, one in job.sheet.circuits.items():
        counts = sets_level(job, name, step) or opens_port(job, name, step)
        if counts and one.level and one.level.window and window_of(job, name):
            return name
    return None


def span_of(job: Job, circuit: str) -> list[str]:
    """The steps from where the circuit is followed to its window, or its plug opened, to where its level is set."""
    steps = [job.sheet.step(one) for one in job.run.standing]
    begins = [step.window == circuit or opens_port(job, circuit, step) for step in steps]
    ends = [step.window == circuit or sets_level(job, circuit, step) for step in steps]
    if True not in begins or True not in ends:
        return []
    first, last = begins.index(True), len(ends) - 1 - ends[::-1].index(True)
    return [step.id for step in steps[first : last + 1]]


def followed_at(job: Job, step: Step) -> str | None:
    """The circuit that is followed at a step: window, bell and the field for its temperature belong there."""
    if step.window or step.level:
        return step.window or step.level
    return next((name for name in job.sheet.circuits if window_of(job, name) and step.id in span_of(job, name)), None)


def window_over(job: Job, circuit: str) -> bool:
    """Is nothing left to wait for: the level is set, or the engine that warms it is off again?"""
    if job.state.finished:
        return True
    span = span_of(job, circuit)
    left = [one for one in span if job.run.standing[one] not in (Standing.DONE, Standing.RULED_OUT)]
    if span and not left:
        return True
    ended = {fact.text for one in job.run.done for fact in job.sheet.step(one).ends}
    return bool(_running(job, circuit) & ended - job.run.facts)


def _running(job: Job, circuit: str) -> set[str]:
    """What must run for the level, and warms the fluid while it does."""
    level = job.sheet.circuits[circuit].level
    return {fact.text for fact in level.depends if fact.holds and fact.word == "running"} if level else set()


def ends_of_windows(job: Job) -> dict[str, dict[str, list[str]]]:
    """What ends the window of each circuit, for a phone that is cut off: its steps done, or what runs is off again."""
    return {
        circuit: {"steps": span_of(job, circuit), "running": sorted(_running(job, circuit))}
        for circuit in job.sheet.circuits
    }


# --- what it was at --------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class SetAt:
    """The temperature that counts for a level.

    Args:
        event: The newest temperature before the level was set, or while it is being set; None when nobody took one.
        minutes: How old it was then. [min]
        done: The step was done; otherwise its plug is open still.
        said: What was answered when it was outside the window; empty where nobody was asked.
    """

    event: Event | None
    minutes: float
    done: bool
    said: str = ""


def set_at(job: Job, circuit: str) -> SetAt | None:
    """Return what temperature counts for a circuit's level; None while its plug was not opened yet."""
    steps = {step.id for step in job.sheet.steps if sets_level(job, circuit, step)}
    closed = [event for event in job.state.done if event.data["step"] in steps]
    port = port_of(job, circuit)
    if closed and port not in job.run.facts:
        last = closed[-1]
        return _at(job, circuit, last, (last.data.get("window") or {}).get("choice") or "")
    if port is not None and port in job.run.facts:
        return _at(job, circuit, None, "")
    return None


def _at(job: Job, circuit: str, done: Event | None, said: str) -> SetAt:
    """The newest temperature until a step was done; what came along with it counts."""
    places = {name: number for number, name in enumerate(job.state.entries)}
    until = None if done is None else places[done.id]
    rows = [
        (at, event)
        for at, event in read_times(job, circuit)
        if done is None or places[event.id] <= (until or 0) or event.data.get("with") == done.id
    ]
    if not rows:
        return SetAt(None, 0.0, done is not None, said)
    at, event = rows[-1]
    age = 0.0 if done is None else (instant(done.happened) - at).total_seconds() / 60.0
    return SetAt(event, max(0.0, age), done is not None, said)


def outside_words(job: Job, circuit: str, celsius: float | None, now: datetime) -> str:
    """Return why the fluid may not be in its window now; empty where it is, or where nobody ever took a temperature.

    Args:
        job: With the temperatures taken so far.
        circuit: Which.
        celsius: As read this moment; None when nobody did. [°C]
        now: This moment.
    """
    allowed, told = window_of(job, circuit), warming(job, circuit)
    assert allowed is not None  # counts_at has looked
    if celsius is not None:
        return "" if _within(allowed, celsius) else f"{_shown(allowed, celsius)}: {_side(allowed, celsius)}"
    if told is None:
        return ""
    last, age = told.readings[-1].celsius, now - told.last
    was = f"{_shown(allowed, last)} at {clock_words(told.last, job.zone)}"
    if not _within(allowed, last):
        opens = told.window.opens.p10
        at = told.last + timedelta(seconds=opens) if opens is not None else None
        if at is None:
            return f"{was}: {_side(allowed, last)}"
        soon = f"it opens at {clock_words(at, job.zone)} at the earliest" if at > now else "it may be open by now"
        return f"{was}: {soon}, {span_words(allowed)}. Read it again, or say how it is."
    closes = told.window.closes.p10
    stays = TELLS_OF if closes is None else min(TELLS_OF, timedelta(seconds=closes))
    return "" if age <= stays else f"{was}, which is too long ago to say that it still is. Read it again, or say so."


def _within(allowed: units.Span, celsius: float) -> bool:
    low = allowed.lower is None or celsius >= allowed.lower
    return low and (allowed.upper is None or celsius <= allowed.upper)


def _side(allowed: units.Span, celsius: float) -> str:
    past = allowed.upper is not None and celsius > allowed.upper
    side, then = ("above", "too little stays in: let it cool") if past else ("below", "too much stays in: wait")
    return f"that is {side} its window of {span_words(allowed)}, so {then}, or say how it is."


def _shown(allowed: units.Span, celsius: float) -> str:
    return units.show(celsius, allowed.unit)


# --- in the book -----------------------------------------------------------------------------------------------------


def plug_words(job: Job) -> list[str]:
    """Return at what temperature each level's plug was opened and its level set, as it was done."""
    return [words for circuit in job.sheet.circuits for words in _plugs(job, circuit)]


def _plugs(job: Job, circuit: str) -> Iterator[str]:
    allowed = window_of(job, circuit)
    for event in job.state.done if allowed else ():
        step = next((one for one in job.sheet.steps if one.id == event.data["step"]), None)
        if step is None or counts_at(job, step) != circuit:
            continue
        told = _at(job, circuit, event, "")
        read = "nobody read its temperature" if told.event is None else f"at {told.event.data['typed']}"
        aged = f", read {told.minutes:.0f} min before" if told.event and told.minutes >= 1.0 else ""
        choice = (event.data.get("window") or {}).get("choice")
        said = f". Said then: {CHOICES[choice].lower()}" if choice else ""
        window = span_words(allowed) if allowed else ""
        name = job.sheet.circuits[circuit].name
        yield f"{name}, “{step.do}”: {read}{aged}, window {window}{said}."
