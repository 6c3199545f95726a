"""A garage that an earlier program kept: opened, checked, folded and shown, and not a letter of it changed.

`kept_garage.jsonl` holds the events as that program stored them, a row a line, before vehicles had an index.
"""

import json
import sqlite3
import warnings
from contextlib import closing
from pathlib import Path

import pytest
from tests.garages import giving, opened

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from starlette.testclient import TestClient

from knowngood.store.store import FILE, Store
from knowngood.web.server.app import JOB_PAGES, application

KEPT = [json.loads(line) for line in Path(__file__).with_name("kept_garage.jsonl").read_text("utf-8").splitlines()]
COLUMNS = "seq, id, stream, kind, version, device, device_seq, happened, recorded, data, digest"
LAYOUT = 4


def rows(folder):
    with closing(sqlite3.connect(folder / FILE)) as database:
        return [list(row) for row in database.execute(f"SELECT {COLUMNS} FROM event ORDER BY seq")]


@pytest.fixture
def folder(tmp_path):
    """Laid out as then, with what was kept then."""
    Store.open(tmp_path / "garage").close()
    with closing(sqlite3.connect(tmp_path / "garage" / FILE)) as database, database:
        database.execute("DROP TABLE follows")
        database.execute("DELETE FROM migration WHERE number > ?", (LAYOUT,))
        database.executemany(f"INSERT INTO event ({COLUMNS}) VALUES ({', '.join('?' * 11)})", KEPT)
    return tmp_path / "garage"


def test_it_opens_undamaged_and_every_entry_is_known(folder):
    with opened(folder) as garage:
        assert not garage.store.check().damage
        states = [garage.toolbox(), *garage.vehicles().values(), *(job.state for job in garage.jobs().values())]
        assert len(states) == 5
        assert [event.kind for state in states for event in state.unknown] == []
        assert sum(len(state.entries) for state in states) == len(KEPT)
    assert rows(folder) == KEPT


def test_all_its_pages_are_shown(folder):
    with (
        opened(folder) as garage,
        TestClient(application(garage), client=("127.0.0.1", 5), base_url="http://127.0.0.1") as computer,
    ):
        paths = ["/", "/judge", *(f"/vehicle/{one}" for one in garage.vehicles())]
        paths += [f"/job/{job}/{page}" for job in garage.jobs() for page in JOB_PAGES]
        for path in paths:
            answer = computer.get(path)
            assert answer.status_code == 200, path
            assert "A fault of the program" not in answer.text, path


def test_it_goes_on_from_there(folder):
    with opened(folder) as garage:
        done = len(garage.job("runs-hot").run.done)
        give = giving(garage, "job/runs-hot")
        give("reading_judged", limit="coil", step="measure_coil", read="101.1 ohm", zero="0.4 ohm", part="48 °C")
        give("step_done", step="measure_coil")
        assert len(garage.job("runs-hot").run.done) == done + 1
        assert [row.id for row in garage.index.jobs()] == [*garage.jobs()]
    assert rows(folder)[: len(KEPT)] == KEPT
