"""The index says what whole folds say, from the database or made anew, and nothing of what is undone."""

import random
import sqlite3
import tempfile
from contextlib import closing
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.acts.job.test_standing import LIFT, ON_STANDS
from tests.garages import giving, opened

from knowngood.acts.faults.watches import watches_of
from knowngood.acts.job import index
from knowngood.acts.job.index import open_facts
from knowngood.acts.job.standing import open_words, worth_saying
from knowngood.refusal import Refused


@pytest.fixture
def give(garage):
    return giving(garage)


def says_what_the_folds_say(garage):
    """Every row against the job and the vehicle that it stands for."""
    rows = {row.id: row for row in garage.index.jobs()}
    assert rows.keys() == garage.jobs().keys()
    for job_id, job in garage.jobs().items():
        row = rows[job_id]
        assert (row.vehicle, row.title, bool(row.finished)) == (job.vehicle_id, job.title, bool(job.state.finished))
        assert [one.event for one in row.watches] == [one.event for one in watches_of(job) if one.closed is None]
        assert list(row.attached) == [one.data["reading"] for one in job.state.attached]
    for vehicle_id, state in garage.vehicles().items():
        row = garage.index.vehicle(vehicle_id)
        assert (row.name, row.text, row.odometer_km) == (state.name, state.text, state.odometer_km)
        own = [one for one in rows.values() if one.vehicle == vehicle_id]
        assert len(worth_saying(open_facts(row, own))) == len(open_words(garage.moves_of(vehicle_id)))


def rows_kept(garage):
    with closing(sqlite3.connect(garage.folder / "garage.sqlite3")) as database:
        return database.execute("SELECT stream, seq, version FROM follows ORDER BY stream").fetchall()


def changed(garage, words):
    with closing(sqlite3.connect(garage.folder / "garage.sqlite3")) as database, database:
        database.execute(f"UPDATE follows SET {words}")


def test_of_the_demo_it_says_what_the_folds_say(demo_garage):
    says_what_the_folds_say(demo_garage)
    demo_garage.index.keep()
    with opened(demo_garage.folder) as again:
        says_what_the_folds_say(again)


SAID = [
    ("job/up", "started", {}), ("job/down", "started", {}),
    *(("job/up", "step_done", {"step": one}) for one in ("up", "stands", "shake", "look", "down")),
    *(("job/down", "step_done", {"step": one}) for one in ("lower", "drive")),
    ("job/up", "stands_now", {"words": "on its wheels", "ends": "raised(front) on_stands(front)"}),
    ("job/down", "stands_now", {"words": "front up", "makes": "raised(front)"}),
    ("job/up", "watch_opened", {"what": "drips", "until": "500 km"}), ("job/down", "finished", {"words": "so"}),
    ("job/up", "finished", {"words": "so"}), ("vehicle/own", "vehicle_renamed", {"name": "Other"}),
    ("vehicle/own", "described", {"text": "estate", "odometer": "120000"}),
]  # fmt: skip


@settings(max_examples=25)
@given(st.randoms(use_true_random=False))
def test_after_anything_it_says_what_the_folds_say(chance: random.Random):
    with tempfile.TemporaryDirectory() as scratch, opened(Path(scratch) / "garage") as garage, \
            opened(Path(scratch) / "garage") as other:  # fmt: skip
        give = giving(garage)
        give("vehicle_named", "vehicle/own", name="Own")
        for job, sheet in (("up", LIFT), ("down", ON_STANDS)):
            give("job_opened", f"job/{job}", vehicle="own", sheet=sheet)
        for _ in range(chance.randrange(24)):
            _something(garage, give, chance)
            if chance.random() < 0.3:
                chance.choice([garage, other]).index.keep()
            says_what_the_folds_say(chance.choice([garage, other]))
        says_what_the_folds_say(garage)
        says_what_the_folds_say(other)


def _something(garage, give, chance):
    """One entry, or one taken back; what cannot be then is refused and changes nothing."""
    stream, kind, fields = chance.choice(SAID)
    if chance.random() < 0.2:
        kept = [event.id for event in garage.store.events(stream)]
        kind, fields = "withdrawn", {"event": chance.choice(kept)}
    try:
        give(kind, stream, **fields)
    except Refused:
        return


def test_what_was_kept_is_not_made_again(demo_garage, monkeypatch):
    assert [*demo_garage.index.jobs()]
    demo_garage.index.keep()
    monkeypatch.setattr(index, "_follows", lambda *_: pytest.fail("made again"))
    with opened(demo_garage.folder) as again:
        assert [row.id for row in again.index.jobs()] == [row.id for row in demo_garage.index.jobs()]


@pytest.mark.parametrize(
    "words", ["version = 'older'", "seq = seq - 1", "said = replace(said, 'Runs', 'Rums')", "digest = 'x'"]
)
def test_what_does_not_fit_is_made_anew(demo_garage, words):
    assert [*demo_garage.index.jobs()]
    demo_garage.index.keep()
    changed(demo_garage, words)
    with opened(demo_garage.folder) as again:
        says_what_the_folds_say(again)
        again.index.keep()
    assert {row[2] for row in rows_kept(demo_garage)} == {index.VERSION}


class Undone(Exception):
    pass


def test_nothing_is_kept_of_what_was_undone(garage, give):
    give("vehicle_named", "vehicle/own", name="Own")

    def rename_and_undo():
        with garage.store.transaction():
            give("vehicle_renamed", "vehicle/own", name="Other")
            assert garage.index.vehicle("own").name == "Other"
            garage.index.keep()
            raise Undone

    with pytest.raises(Undone):
        rename_and_undo()
    assert garage.index.vehicle("own").name == "Own"
    give("tool_added", name="takes the same place in the table")
    assert garage.index.vehicle("own").name == "Own"


def test_a_garage_that_may_only_be_read_has_its_index_in_memory(demo_garage):
    with closing(sqlite3.connect(demo_garage.folder / "garage.sqlite3", isolation_level=None)) as writes:
        writes.execute("BEGIN IMMEDIATE")  # another program writes for longer than anybody waits
        demo_garage.store._connection.execute("PRAGMA busy_timeout = 0")
        says_what_the_folds_say(demo_garage)
        demo_garage.index.keep()
        says_what_the_folds_say(demo_garage)
    assert rows_kept(demo_garage) == []
