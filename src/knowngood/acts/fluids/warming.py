"""A fluid on its way to its check window: from temperatures with their times to what to do by when, in words."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from knowngood import units
from knowngood.acts.fluids.temperature_log import COLDEST_C
from knowngood.acts.readings.values import span_words
from knowngood.engine.fluids.window import Instants, State, Timed, Window, check_window

# Ours: how far above its one edge a window without an upper end is taken to reach. [K]
FAR_K = 40.0


@dataclass(frozen=True)
class Thermometer:
    """What a temperature is read with.

    Args:
        words: What pages call it.
        own_k: Half-width of what differs from reading to reading, beside the display's step. [K]
        shared_k: Half-width of what is the same for all readings of one warm-up. [K]
    """

    words: str
    own_k: float
    shared_k: float


# Ours: a window is stated for the vehicle's own sensor, so its display shares no error with it. A probe may be off by
# a class 2 thermocouple's 2.5 K; an infrared thermometer by 2 K, and by what the surface does to it.
READ_WITH = {
    "display": Thermometer("the vehicle's own value", 0.0, 0.0),
    "probe": Thermometer("a probe in or on the metal", 0.5, 3.0),
    "infrared": Thermometer("an infrared thermometer", 1.0, 5.0),
}


@dataclass(frozen=True)
class Moment:
    """A moment that matters: what to do, when, and whether to ring for it."""

    says: str
    at: datetime
    until: datetime | None = None
    rings: bool = False


@dataclass(frozen=True)
class Warming:
    """A warm-up as it is known.

    Args:
        allowed: The window, as written.
        readings: Seconds from the last reading, °C.
        last: When the last reading was taken.
        window: What the engine says.
        moments: The one to act on first, then the others.
        heading: What it comes to.
        sentence: What that means, for the mechanic.
        further: What else to know.
    """

    allowed: units.Span
    readings: tuple[Timed, ...]
    last: datetime
    window: Window
    moments: tuple[Moment, ...]
    heading: str
    sentence: str
    further: tuple[str, ...]


def followed(
    readings: Sequence[tuple[float, float, float, str]], allowed: units.Span, last: datetime, oil: bool
) -> Warming:
    """Return what some temperatures say about a window.

    Args:
        readings: Seconds, °C, step of the display in K, what it was read with (a key of READ_WITH); in order of time.
        allowed: The window; with one end it never closes, or is open from the start.
        last: When the last of them was read.
        oil: Not coolant: no real log of its kind was seen.

    Raises:
        ValueError: Times that do not increase.
    """
    timed, shared_u_k = doubts(readings)
    lower = COLDEST_C if allowed.lower is None else allowed.lower
    far = max(lower, timed[-1].celsius) + FAR_K
    found = check_window(timed, lower, far if allowed.upper is None else allowed.upper, shared_u_k=shared_u_k)
    if allowed.upper is None:
        found = replace(found, closes=Instants())
    moments = _moments(found, last)
    heading, sentence = _words(found, allowed)
    return Warming(allowed, timed, last, found, moments, heading, sentence, _further(found, oil))


def doubts(readings: Sequence[tuple[float, float, float, str]]) -> tuple[tuple[Timed, ...], float]:
    """Give each reading its own standard uncertainty, and all of them the one that they share. [K]

    What the last was read with counts as shared; another thermometer's error comes on top for its own readings.
    """
    common = READ_WITH[readings[-1][3]].shared_k / math.sqrt(3.0)
    rows = []
    for seconds, celsius, step_k, read_with in readings:
        tool = READ_WITH[read_with]
        apart = tool.shared_k / math.sqrt(3.0) if read_with != readings[-1][3] else 0.0
        own = max(math.hypot(0.5 * step_k, tool.own_k) / math.sqrt(3.0), 0.03)
        rows.append(Timed(seconds, celsius, math.hypot(own, apart)))
    return tuple(rows), common


# --- in words ---------------------------------------------------------------------------------------------------------


def _moments(found: Window, last: datetime) -> tuple[Moment, ...]:
    """What to do by when: the early moment of an edge counts, for being late cannot be made good."""

    def at(seconds: float) -> datetime:
        return last + timedelta(seconds=seconds)

    rows = []
    if found.opens.p10 is not None and found.state is not State.STALLED:
        rows.append(Moment("Be ready", at(found.opens.p10), rings=True))
        late = found.opens.p90 if found.opens.p90 is not None else found.opens.p50
        rows.append(Moment("It opens", at(found.opens.p10), at(late) if late is not None else None))
    if found.closes.p10 is not None and found.state is not State.STALLED:
        rows.append(Moment("Be done", at(found.closes.p10), rings=True))
    if found.read_again_s is not None:
        rows.append(Moment("Read it again", at(found.read_again_s), rings=True))
    return tuple(rows)


HEADINGS: Mapping[State, str] = {
    State.HEATING: "Be ready",
    State.LOAD_CHANGED: "Be ready",
    State.COOLING: "It cools",
    State.STALLED: "It may not get there",
    State.IN: "In the window now",
    State.PAST: "Past the window",
    State.TOO_FEW: "Read it once more",
}
SENTENCES: Mapping[State, str] = {
    State.HEATING: "It warms towards {window}: be ready before it may open, be done before it may close.",
    State.LOAD_CHANGED: "It warms towards {window}, but no longer the way it did: the load changed, so this "
    "rests on the last readings alone and is wide.",
    State.STALLED: "It hardly warms any more, and may stay below {window}. Go on as your manual says, and read it "
    "again.",
    State.IN: "It is within {window}. Be done before it may close.",
    State.PAST: "It is above {window}. A level set now comes out short: let it cool below, and warm it again.",
    State.TOO_FEW: "One temperature says nothing of how fast it warms towards {window}: two give a first, wide answer.",
}
FALLS = {
    True: "It cools towards {window} from above: it opens at the upper end.",
    False: "It cools and is below {window}, so it will not open by itself: warm it again, then read it.",
}


def _words(found: Window, allowed: units.Span) -> tuple[str, str]:
    window = span_words(allowed)
    if found.state is State.COOLING:
        opens = found.opens.p10 is not None
        return "Be ready" if opens else HEADINGS[found.state], FALLS[opens].format(window=window)
    return HEADINGS[found.state], SENTENCES[found.state].format(window=window)


def _further(found: Window, oil: bool) -> tuple[str, ...]:
    rows = []
    if found.used == 2 and found.opens.p10 is not None:
        rows.append("Two readings are little to go by: each further one narrows it.")
    if found.opens.p10 is not None and found.opens.p90 is None:
        rows.append("It may never open: how warm it gets in the end is not known well enough yet.")
    if oil and found.state is not State.PAST:
        rows.append(
            "How oil warms was not checked on real logs, only coolant was: read it again before you trust this."
        )
    return tuple(rows)


def instants_json(one: Instants) -> dict[str, float | None]:
    """The three moments in seconds from the last reading."""
    return {"p10": one.p10, "p50": one.p50, "p90": one.p90}


def as_json(told: Warming, notes: Sequence[str] = ()) -> dict[str, object]:
    """What the terminal prints with --json; seconds from the last reading."""
    found = told.window
    return {
        "state": found.state.value,
        "opens_s": instants_json(found.opens),
        "closes_s": instants_json(found.closes),
        "read_again_s": found.read_again_s,
        "chance_opens": found.opens.chance,
        "falling": found.falling,
        "readings_used": found.used,
        "last_reading": {"celsius": told.readings[-1].celsius},
        "window_c": [told.allowed.lower, told.allowed.upper],
        "end_c": found.end_c,
        "constant_s": found.constant_s,
        "sentence": told.sentence,
        "further": list(told.further),
        "notes": list(notes),
    }
