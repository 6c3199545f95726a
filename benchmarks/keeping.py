"""A garage of many events: open it, look at all of it, read a job, keep a note. Alone: `keeping.py [EVENTS]`."""

import json
import sqlite3
import sys
import tempfile
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from timing import seconds

from knowngood.acts.job.garage import Garage
from knowngood.acts.record.entries import Entry
from knowngood.acts.record.take import take
from knowngood.store.event import Event, canonical_json
from knowngood.store.store import FILE, Store

Row = tuple[str, float, float, float]
EVENTS, OF_A_JOB, AT_A_TIME = 100_000, 50, 5_000
WHEN = "2026-05-04T10:00:00+00:00"
WORDS = "Half a litre more than the manual says came out of the pan, dark, no smell of burning. " * 8


def clock() -> datetime:
    """A moment."""
    return datetime(2026, 11, 21, 12, 0, tzinfo=UTC)


def _event(number: int) -> Event:
    job = "toolbox" if number == 0 else f"job/{number // OF_A_JOB:x}"
    return Event.new(
        id=f"{number:032x}", stream=job, kind="noted", device="phone", device_seq=number + 1, happened=WHEN,
        recorded=WHEN, data={"text": f"{number} {WORDS}", "step": "drain"},
    )  # fmt: skip


def fill(folder: Path, events: int) -> None:
    """Keep so many events, all looked at."""
    with closing(Store.open(folder, clock=clock)) as store:
        for first in range(0, events, AT_A_TIME):
            store.append([_event(number) for number in range(first, min(first + AT_A_TIME, events))])
        assert not store.check().damage


def _opened(folder: Path) -> None:
    Store.open(folder, clock=clock).close()


def _bare(folder: Path, sql: str) -> None:
    with closing(sqlite3.connect(folder / FILE)) as connection:
        connection.execute(sql).fetchall()


def compared(folder: Path, rounds: int) -> Iterator[Row]:
    """Each beside what SQLite or JSON alone takes for it."""
    opens = seconds(lambda: _opened(folder), rounds)
    bare = seconds(lambda: _bare(folder, "PRAGMA quick_check(1)"), rounds)
    yield "open, against SQLite's quick check alone", opens, bare, opens / bare
    with closing(Store.open(folder, clock=clock)) as store:
        looks = seconds(store.check, rounds)
        whole = seconds(lambda: _bare(folder, "PRAGMA integrity_check(1)"), rounds)
        yield "verify, against SQLite's integrity check alone", looks, whole, looks / whole
        texts = [canonical_json(event.data) for event in store.events("job/2")]
        reads = seconds(lambda: store.events("job/2"))
        loads = seconds(lambda: [json.loads(text) for text in texts])
        yield f"read a job of {len(texts)} events, against decoding its JSON alone", reads, loads, reads / loads
        yield _kept(Garage(store, folder, clock), folder)


def _kept(garage: Garage, folder: Path) -> Row:
    numbers = iter(range(1, 1000))
    note = seconds(lambda: take(garage, Entry(f"f{next(numbers):031x}", "toolbox", "noted", {"text": "leak"})))
    with closing(sqlite3.connect(folder / "bare.sqlite3", isolation_level=None)) as bare:
        for pragma in ("journal_mode = WAL", "synchronous = FULL"):
            bare.execute(f"PRAGMA {pragma}")
        bare.execute("CREATE TABLE t (a TEXT)")
        write = seconds(lambda: bare.execute("INSERT INTO t VALUES (?)", (WORDS,)))
    return "keep a note, against one row that is on the disk", note, write, note / write


def rows(events: int = EVENTS, rounds: int = 3) -> list[Row]:
    """Rows of the table of benchmarks."""
    with tempfile.TemporaryDirectory() as folder:
        fill(Path(folder), events)
        return [(f"{name} ({events:,} events)", *times) for name, *times in compared(Path(folder), rounds)]


if __name__ == "__main__":
    for name, ours, yardstick, ratio in rows(int(sys.argv[1]) if sys.argv[1:] else EVENTS):
        print(f"{name:<80}  {1e3 * ours:>9.1f} ms  {1e3 * yardstick:>9.1f} ms  {ratio:>6.2f}")
