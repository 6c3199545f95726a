"""Entries in, events out: what was typed on a page or in a script becomes what happened, or problems at its fields."""

import hashlib
import re
from collections.abc import Callable, Mapping
from textwrap import shorten

from knowngood.acts.job.garage import Garage
from knowngood.acts.readings.lengths import refuse_long
from knowngood.acts.record.entries import Draft, Entry
from knowngood.acts.record.job import JOB
from knowngood.acts.record.phones import PHONES
from knowngood.acts.record.rest import TOOLBOX, VEHICLE
from knowngood.refusal import Refused
from knowngood.store import moment
from knowngood.store.event import Event, is_moment
from knowngood.store.lift import NEWEST

WELL_FORMED = re.compile(r"[0-9a-f-]{8,64} (toolbox|phones|(vehicle|job)/[a-z0-9-]{1,40})")
Handler = Callable[[Garage, Entry], list[Draft]]
TRIES = 2  # ours: how often something may come between before others are kept waiting
DEVICE_LETTERS = 100  # ours: a form of ours sends 32
SHOWN_LETTERS = 40  # of what cannot be a time
HANDLERS: Mapping[str, Mapping[str, Handler]] = {
    "toolbox": TOOLBOX,
    "phones": PHONES,
    "vehicle": VEHICLE,
    "job": JOB,
}
# What begins with one entry of its own.
OPENS = {"vehicle": "vehicle_named", "job": "job_opened"}
TAKEN = (
    "Something else was kept from this form before, so these words are not kept yet. Look whether you still need them, "
    "then send them again."
)


def take(garage: Garage, entry: Entry) -> list[Event]:
    """Turn one entry into events and keep them, all or none.

    The same entry handed over again, after a connection that dropped, is answered as the first time.

    Returns:
        The events as stored, the entry's own first; none when another phone's entry said the same before.

    Raises:
        Refused: What was typed cannot be used; a sentence for each field, "" for the whole.
    """
    entry = entry.placed
    _look_at(entry)
    return _decided(garage, entry)


def _look_at(entry: Entry) -> None:
    """Refuse what no form of ours sends."""
    if not WELL_FORMED.fullmatch(f"{entry.id} {entry.stream}"):
        raise Refused({"": "This entry has lost its own mark on the way, so nothing was kept. Reload the page."})
    refuse_long(entry.fields)
    if entry.kind not in _handlers(entry):
        raise Refused({"": f'"{entry.kind}" is not something that can be kept for {entry.stream}. Reload the page.'})
    if entry.happened and not is_moment(entry.happened):
        given = shorten(entry.happened, SHOWN_LETTERS, placeholder="…")
        raise Refused({"": f'This device says that it is "{given}". Set its clock, then send this again.'})
    if len(entry.device) > DEVICE_LETTERS:
        raise Refused({"": f"This device calls itself by more than {DEVICE_LETTERS} letters. Reload the page."})


def _handlers(entry: Entry) -> Mapping[str, Handler]:
    return HANDLERS.get(entry.stream.partition("/")[0], {})


def _kept_before(garage: Garage, entry: Entry) -> list[Event] | None:
    """The answer to an entry that is kept already; None for a new one.

    Raises:
        Refused: Its id is that of another entry, so it is no retry: nothing typed may be dropped.
    """
    kept = garage.store.event(entry.id)
    if kept is None:
        return None
    typed = garage.store.typed(entry.id)
    # An older program kept no digest of what was typed.
    if entry.typed == typed if typed else (entry.stream, entry.kind) == (kept.stream, kept.kind):
        return [kept]
    raise Refused({"": TAKEN})


def _decided(garage: Garage, entry: Entry) -> list[Event]:
    """Decide and keep as one step, so that of two entries at once the second is decided with the first in sight.

    Deciding may take long, as drawing for a judgement or a photo does. So it is done before anybody is kept waiting,
    and stands when nothing came meanwhile; where something did every time, it is done with all others waiting.
    """
    for _ in range(TRIES):
        seen = garage.store.newest_seq()
        if (kept := _kept_before(garage, entry)) is not None:
            return kept
        try:
            drafts = _drafts(garage, entry)
        except Refused:
            if garage.store.newest_seq() == seen:
                raise
            continue
        with garage.store.transaction():
            if garage.store.newest_seq() == seen:
                return _kept(garage, entry, drafts)
    with garage.store.transaction():
        kept = _kept_before(garage, entry)
        return _kept(garage, entry, _drafts(garage, entry)) if kept is None else kept


def _kept(garage: Garage, entry: Entry, drafts: list[Draft]) -> list[Event]:
    events = [_event(garage, entry, draft, number) for number, draft in enumerate(drafts)]
    return garage.store.append(events, typed=entry.typed)


def _drafts(garage: Garage, entry: Entry) -> list[Draft]:
    _stands_or_is_new(garage, entry)
    return _handlers(entry)[entry.kind](garage, entry)


def _stands_or_is_new(garage: Garage, entry: Entry) -> None:
    """A vehicle and a job begin once, with the entry that opens them, and nothing is said of one before that."""
    thing = entry.stream.partition("/")[0]
    if thing not in OPENS:
        return
    there, opens = garage.store.newest_seq(entry.stream) > 0, entry.kind == OPENS[thing]
    if there and opens:
        raise Refused({"": f"This {thing} is in the garage already. Reload the page, then enter another one."})
    if not there and not opens:
        raise Refused({"": f'There is no {thing} "{entry.of}" in this garage. Look on the Bench which there are.'})


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
        happened=moment.kept(entry.happened or (f"{now}[{garage.zone.key}]" if garage.zone else now)),
        recorded=now,
        data={**draft.data, "with": entry.id} if number else draft.data,
        version=NEWEST.get(draft.kind, 1),
    )
