"""Entries in, events out: what was typed on a page or in a script becomes what happened, or problems at its fields."""

import hashlib
import re
from collections.abc import Callable, Mapping

from knowngood.acts.entries import Draft, Entry
from knowngood.acts.garage import Garage
from knowngood.acts.phones import PHONES
from knowngood.acts.record_job import JOB
from knowngood.acts.record_rest import TOOLBOX, VEHICLE
from knowngood.refusal import Refused
from knowngood.store.event import Event
from knowngood.store.lift import NEWEST

WELL_FORMED = re.compile(r"[0-9a-f-]{8,64} (toolbox|phones|(vehicle|job)/[a-z0-9-]{1,40})")
HANDLERS: dict[str, Mapping[str, Callable[[Garage, Entry], list[Draft]]]] = {
    "toolbox": TOOLBOX,
    "phones": PHONES,
    "vehicle": VEHICLE,
    "job": JOB,
}


def take(garage: Garage, entry: Entry) -> list[Event]:
    """Turn one entry into events and keep them, all or none.

    The same entry handed over again, after a connection that dropped, is answered as the first time.

    Returns:
        The events as stored, the entry's own first; none when another phone's entry said the same before.

    Raises:
        Refused: What was typed cannot be used; a sentence for each field, "" for the whole.
    """
    kept = garage.store.event(entry.id)
    if kept is not None:
        return [kept]
    if not WELL_FORMED.fullmatch(f"{entry.id} {entry.stream}"):
        raise Refused({"": "This entry has lost its own mark on the way, so nothing was kept. Reload the page."})
    handler = HANDLERS.get(entry.stream.partition("/")[0], {}).get(entry.kind)
    if handler is None:
        raise Refused({"": f'"{entry.kind}" is not something that can be kept for {entry.stream}. Reload the page.'})
    try:
        drafts = handler(garage, entry)
    except Refused:
        # The same entry may have been kept a moment ago by another request; then that is the answer.
        if (kept := garage.store.event(entry.id)) is not None:
            return [kept]
        raise
    return garage.store.append([_event(garage, entry, draft, number) for number, draft in enumerate(drafts)])


def _event(garage: Garage, entry: Entry, draft: Draft, number: int) -> Event:
    """The event of a draft; further ones get an id that follows from the entry's, so that a retry makes the same."""
    further = hashlib.sha256(f"{entry.id}/{number}".encode()).hexdigest()[:32]
    now = garage.now()
    return Event.new(
        id=further if number else entry.id,
        stream=draft.stream or entry.stream,
        kind=draft.kind,
        device=entry.device,
        device_seq=entry.device_seq,
        happened=entry.happened or now,
        recorded=now,
        data={**draft.data, "with": entry.id} if number else draft.data,
        version=NEWEST.get(draft.kind, 1),
    )
