"""Folding a long job, against reading the same rows as JSON."""

import json

from timing import seconds

from knowngood.store.event import Event, canonical_json
from knowngood.store.folds import JobState, fold_job

COUNT = 100_000
Row = tuple[str, float, float, float]


def _event(number: int) -> Event:
    """Every tenth takes back the one before it."""
    if number % 10 == 9:
        kind, data = "withdrawn", {"id": f"{number - 1:08x}"}
    elif number % 2:
        kind, data = "noted", {"text": f"note {number}", "step": None}
    else:
        kind, data = "step_done", {"step": f"s{number % 40}", "round": 1}
    when = "2026-05-04T10:00:00+00:00"
    bare = {"id": f"{number:08x}", "stream": "job/a", "kind": kind, "device": "phone", "device_seq": number}
    return Event.new(**bare, happened=when, recorded=when, data=data)


def _stands(events: list[Event]) -> int:
    """Fold and ask once, so that the work put off until somebody asks is measured as well."""
    state = fold_job(JobState(), events)
    return len(state.done) + len(state.notes)


def rows() -> list[Row]:
    """The fold of 100 000 events; the aim is under one second."""
    events = [_event(number) for number in range(COUNT)]
    written = [canonical_json({**vars(event), "seq": None}) for event in events]
    ours = seconds(lambda: _stands(events))
    yardstick = seconds(lambda: [json.loads(one) for one in written])
    return [(f"fold {COUNT} events of a job, against json.loads of them", ours, yardstick, ours / yardstick)]


if __name__ == "__main__":
    for name, ours_s, yardstick_s, ratio in rows():
        print(f"{name}: {ours_s:.3f} s, {yardstick_s:.3f} s, {ratio:.2f} times")
