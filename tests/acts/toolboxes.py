"""A toolbox as it stands after some entries, without a store."""

from knowngood.acts.record.entries import Entry
from knowngood.acts.record.rest import TOOLBOX
from knowngood.store.event import Event
from knowngood.store.folds import ToolboxState, fold_toolbox


def boxed(*rows, withdrawn=()):
    """Rows of kind and fields become events, numbered from 1; some are taken back by their number."""
    events = [
        event(number, draft.kind, draft.data)
        for number, (kind, fields) in enumerate(rows, 1)
        for draft in TOOLBOX[kind](None, Entry(f"{number:032}", "toolbox", kind, fields))[:1]
    ]
    events += [event(100 + number, "withdrawn", {"id": f"{number:032}"}) for number in withdrawn]
    return fold_toolbox(ToolboxState(), events)


def event(number, kind, data):
    return Event.new(
        id=f"{number:032}", stream="toolbox", kind=kind, device="d", device_seq=number, happened="2026-01-01",
        recorded="2026-01-01", data=data,
    )  # fmt: skip
