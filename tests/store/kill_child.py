"""Appends events until it is killed and prints each id after the store has taken it."""

import itertools
import sys
from pathlib import Path

from knowngood.store.event import Event
from knowngood.store.store import Store


def event(run: str, number: int, part: int) -> Event:
    when = "2026-05-04T10:00:00+00:00"
    return Event.new(
        id=f"{run}-{number:08x}-{part}", stream="job/a", kind="noted", device="phone", device_seq=2 * number + part + 1,
        happened=when, recorded=when, data={"text": f"note {number} " + "Ω" * (number % 50), "step": None},
    )  # fmt: skip


def main(folder: str, run: str) -> None:
    store = Store.open(Path(folder))
    for number in itertools.count():
        stored = store.append([event(run, number, 0), event(run, number, 1)])
        print(*(one.id for one in stored), flush=True)


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2])
