"""Fluids in the terminal: how a fluid stands to its window."""

from collections.abc import Sequence

from knowngood import units
from knowngood.acts.fluids.warming import Warming
from knowngood.engine.fluids.window import Instants, State

MARKS = {State.IN: "●", State.PAST: "▲"}


def warming(told: Warming, notes: Sequence[str] = ()) -> str:
    """Return how a fluid stands to its window; times count from the last reading."""
    found = told.window
    last = units.show(told.readings[-1].celsius, told.allowed.unit)
    lines = [f"{MARKS.get(found.state, '◇')} {told.heading}: {last} at the last reading.", told.sentence]
    edges = (("Opens", found.opens), ("Closes", found.closes))
    lines += [_edge(word, one) for word, one in edges if one.p10 is not None]
    if found.read_again_s is not None:
        lines.append(f"Read it again {clock(found.read_again_s)} after the last reading.")
    return "\n".join([*lines, *told.further, *notes])


def _edge(word: str, one: Instants) -> str:
    """An edge 4 times out of 5, in minutes and seconds after the last reading."""
    ends = [clock(end) if end is not None else "never" for end in (one.p10, one.p50, one.p90)]
    return f"{word} {ends[0]} to {ends[2]} after it, 4 times out of 5; as likely before as after {ends[1]}."


def clock(seconds: float) -> str:
    """Minutes and seconds.

    Example:
        >>> clock(204.8)
        '3:25 min'
    """
    whole = round(seconds)
    return f"{whole // 60}:{whole % 60:02d} min"
