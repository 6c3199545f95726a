"""How pages, start and memory grow with the years in a garage. Alone: `growth.py [VEHICLES ...]`, 1 10 100 unless told.

Each vehicle has ten years of two finished jobs, copies of the demo's; the last job of the last one is still open.
"""

import http.client
import json
import re
import subprocess
import sys
import tempfile
import time
import urllib.parse
import uuid
from collections.abc import Collection, Iterable, Iterator
from contextlib import closing, contextmanager
from datetime import datetime, timedelta
from pathlib import Path

from knowngood.acts.job.garage import Garage, open_garage
from knowngood.demo import runs_hot
from knowngood.store.event import Event, canonical_json

JOB, VEHICLE = "job/runs-hot", "vehicle/tavrick"
SIZES, JOBS, APART_DAYS, AT_A_TIME = (1, 10, 100), 20, 182, 5_000
ID = re.compile(r"\b[0-9a-f]{32}\b")
PAGES = {"Bench": "/", "Now": "now", "Why": "why", "Readings": "readings", "Book": "book"}


def fill(folder: Path, vehicles: int) -> str:
    """Keep so many vehicles; return the id of the job that is still open."""
    with tempfile.TemporaryDirectory() as made, open_garage(Path(made) / "demo") as home:
        runs_hot.fill(home)
        toolbox, of_job, of_vehicle = (home.store.events(one) for one in ("toolbox", JOB, VEHICLE))
    with open_garage(folder) as garage:
        garage.store.append(toolbox)
        rows = [*_grown(of_job, of_vehicle, vehicles)]
        for first in range(0, len(rows), AT_A_TIME):
            garage.store.append(rows[first : first + AT_A_TIME])
        _open_again(garage, rows[-1])
        assert not garage.store.check().damage
        begun = time.perf_counter()
        assert sum(1 for _ in garage.index.jobs()) == vehicles * JOBS
        garage.index.keep()  # as it would have been over the years
        print(f"{vehicles} vehicles: index made anew in {time.perf_counter() - begun:.2f} s", file=sys.stderr)
    return rows[-1].stream.removeprefix("job/")


def _grown(of_job: list[Event], of_vehicle: list[Event], vehicles: int) -> Iterator[Event]:
    for number in range(vehicles):
        own = f"v{number}"
        yield from _copied(of_vehicle, f"vehicle/{own}", own, 0, only=("vehicle_named", "described"))
        for job in range(JOBS, 0, -1):
            yield from _copied(of_job, f"job/{own}-{job}", own, job * APART_DAYS)
            yield _finish(f"job/{own}-{job}", of_job[-1], job * APART_DAYS)


def _copied(
    events: Iterable[Event], stream: str, vehicle: str, days: int, only: Collection[str] = ()
) -> Iterator[Event]:
    """The same events in another stream, so many days earlier, under ids of their own."""
    kept = [event for event in events if not only or event.kind in only]
    ids = {event.id: uuid.uuid5(uuid.NAMESPACE_OID, f"{stream}/{event.id}").hex for event in kept}
    for event in kept:
        data = json.loads(ID.sub(lambda found: ids.get(found[0], found[0]), canonical_json(event.data)))
        if event.kind == "job_opened":
            data["vehicle"] = vehicle
        yield Event.new(
            id=ids[event.id], stream=stream, kind=event.kind, device=event.device, device_seq=event.device_seq,
            happened=_earlier(event.happened, days), recorded=_earlier(event.recorded, days), data=data,
            version=event.version,
        )  # fmt: skip


def _earlier(moment: str, days: int) -> str:
    return (datetime.fromisoformat(moment) - timedelta(days=days)).isoformat(timespec="seconds")


def _finish(stream: str, last: Event, days: int) -> Event:
    when = _earlier(last.recorded, days)
    return Event.new(
        id=uuid.uuid5(uuid.NAMESPACE_OID, f"{stream}/finish").hex, stream=stream, kind="finished", device=last.device,
        device_seq=last.device_seq + 1, happened=when, recorded=when, data={"words": ""},
    )  # fmt: skip


def _open_again(garage: Garage, finish: Event) -> None:
    garage.store.append([
        Event.new(
            id=uuid.uuid4().hex, stream=finish.stream, kind="withdrawn", device=finish.device,
            device_seq=finish.device_seq + 1, happened=finish.happened, recorded=finish.recorded,
            data={"id": finish.id},
        )
    ])  # fmt: skip


@contextmanager
def served(folder: Path) -> Iterator[tuple[str, int, float]]:
    """Serve a garage in a process of its own: its address, its process id, and how long it took to answer. [s]"""
    command = [sys.executable, "-m", "knowngood", "serve", "--garage", str(folder), "--port", "0", "--no-browser"]
    begun = time.perf_counter()
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as process:
        try:
            assert process.stdout is not None
            address = next(found[0] for line in process.stdout if (found := re.search(r"http://[\d.:]+", line)))
            fetched(f"{address}/alive")
            yield address, process.pid, time.perf_counter() - begun
        finally:
            process.terminate()


def fetched(url: str, fields: dict[str, str] | None = None) -> tuple[float, bytes]:
    """How long an answer took, where it leads to not counted, and its body. [s]"""
    at = urllib.parse.urlsplit(url)
    body = urllib.parse.urlencode(fields) if fields else None
    headers = {"Content-Type": "application/x-www-form-urlencoded"} if fields else {}
    begun = time.perf_counter()
    with closing(http.client.HTTPConnection(at.netloc)) as server:
        server.request("POST" if fields else "GET", at.path, body, headers)
        answer = server.getresponse()
        found = answer.read()
    assert answer.status in (200, 303), f"{url} answered {answer.status}: {found[:200]!r}"
    return time.perf_counter() - begun, found


def memory_mb(pid: int) -> float:
    """Resident memory of a process; nan where the system does not say. [MB]"""
    status = Path(f"/proc/{pid}/status")
    found = re.search(r"VmRSS:\s+(\d+)", status.read_text()) if status.exists() else None
    return int(found[1]) / 1000 if found else float("nan")


def measured(vehicles: int) -> dict[str, float]:
    """Every figure for a garage of so many vehicles, by name: seconds, kB or MB."""
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch) / "garage"
        job = fill(folder, vehicles)
        with served(folder) as (address, pid, start):
            figures = {"start, s": start}
            for name, path in PAGES.items():
                figures |= _page(name, address + (path if path == "/" else f"/job/{job}/{path}"))
            figures["post, s"] = min(_posted(address, job) for _ in range(5))
            figures["memory, MB"] = memory_mb(pid)
        return figures


def _page(name: str, url: str) -> dict[str, float]:
    first, body = fetched(url)
    then = min(fetched(url)[0] for _ in range(3))
    return {f"{name}, first, s": first, f"{name}, then, s": then, f"{name}, kB": len(body) / 1000}


def _posted(address: str, job: str) -> float:
    page = fetched(f"{address}/job/{job}/now")[1].decode()
    csrf = re.findall(r'name="csrf" value="([^"]+)"', page)[0]
    fields = {"id": uuid.uuid4().hex, "stream": f"job/{job}", "kind": "noted", "text": "a note", "csrf": csrf}
    return fetched(f"{address}/events", fields)[0]


def main() -> None:
    """Print the figures side by side, and how often the largest is the smallest."""
    sizes = [int(one) for one in sys.argv[1:]] or list(SIZES)
    columns = {size: measured(size) for size in sizes}
    width = max(len(name) for name in columns[sizes[0]])
    print(f"{'vehicles':<{width}}", *(f"{size:>9}" for size in sizes), f"{'times':>8}")
    for name in columns[sizes[0]]:
        row = [columns[size][name] for size in sizes]
        print(f"{name:<{width}}", *(f"{value:>9.3f}" for value in row), f"{row[-1] / row[0]:>8.2f}")


if __name__ == "__main__":
    main()
