"""Old shapes of events become today's by pure functions; what is stored is never rewritten."""

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from knowngood.store.event import Event, is_moment

Lift = Callable[[dict[str, Any]], dict[str, Any]]

FILE_AND_LINE = re.compile(r"^.*?:\d+: ")


def _overruled_by_step(data: dict[str, Any]) -> dict[str, Any]:
    """The first program kept the step and the message with its line; which place it was is not known."""
    return {**data, "place": None, "said": FILE_AND_LINE.sub("", data.get("message", ""), count=1)}


def _answered_by_name(data: dict[str, Any]) -> dict[str, Any]:
    """The first program kept the question's short name alone; which sheet asked is known to its job alone."""
    return {**data, "sheet": None, "question": None, "kind": None, "same_as": None, "job": None, "confirms": None}


# (kind, version) -> its data in the next version. Every other kind is still at its first version.
LIFTS: Mapping[tuple[str, int], Lift] = {
    ("answered", 1): _answered_by_name,
    ("overruled", 1): _overruled_by_step,
}

# The newest version of each kind that has been lifted; every other kind is at its first.
NEWEST = {kind: version + 1 for kind, version in sorted(LIFTS)}


def lifted(event: Event, lifts: Mapping[tuple[str, int], Lift] = LIFTS) -> Event:
    """Return the event in the newest shape of its kind; one that needs no lifting, or is unknown, as it is.

    What a device gave as its time and is none counts as happened when it arrived: an older program took any words. The
    digest stays that of what is stored.
    """
    if not is_moment(event.happened):
        event = replace(event, happened=event.recorded)
    while lift := lifts.get((event.kind, event.version)):
        event = replace(event, version=event.version + 1, data=lift(event.data))
    return event
