import sqlite3
from datetime import UTC, datetime

import pytest

from knowngood.store.errors import StoreError
from knowngood.store.migrations import MIGRATIONS, Migration, migrate, taken
from knowngood.store.store import FILE, Store

NOON = datetime(2026, 5, 4, 12, 0, tzinfo=UTC)


def _clock():
    return NOON


@pytest.fixture
def database():
    connection = sqlite3.connect(":memory:", isolation_level=None)
    yield connection
    connection.close()


def test_each_step_leaves_its_record(database):
    assert taken(database) == 0
    migrate(database, _clock)
    rows = database.execute("SELECT number, name, happened FROM migration").fetchall()
    when = "2026-05-04T12:00:00+00:00"
    assert rows == [(one.number, one.name, when) for one in MIGRATIONS]
    assert [one.name for one in MIGRATIONS][:2] == ["events", "own id and secret"]


def test_a_step_is_taken_once(database):
    migrate(database, _clock)
    migrate(database, _clock)
    assert database.execute("SELECT count(*) FROM migration").fetchone() == (len(MIGRATIONS),)


def test_a_later_step_is_taken_by_a_database_that_lacks_it(database):
    migrate(database, _clock)
    further = Migration(len(MIGRATIONS) + 1, "extra", ("CREATE TABLE extra (a INTEGER) STRICT",))
    migrate(database, _clock, (*MIGRATIONS, further))
    assert taken(database) == len(MIGRATIONS) + 1


def test_a_step_that_fails_leaves_nothing(database):
    migrate(database, _clock)
    further = Migration(
        len(MIGRATIONS) + 1, "extra", ("CREATE TABLE extra (a INTEGER) STRICT", "CREATE TABLE event (a INTEGER)")
    )
    with pytest.raises(sqlite3.OperationalError, match="table event already exists"):
        migrate(database, _clock, (*MIGRATIONS, further))
    assert taken(database) == len(MIGRATIONS)
    assert database.execute("SELECT 1 FROM sqlite_schema WHERE name = 'extra'").fetchone() is None


def test_numbers_count_up():
    assert [one.number for one in MIGRATIONS] == list(range(1, len(MIGRATIONS) + 1))


def test_a_newer_programs_database_is_refused_and_left_alone(tmp_path):
    Store.open(tmp_path, clock=_clock).close()
    connection = sqlite3.connect(tmp_path / FILE)
    connection.execute("INSERT INTO migration VALUES (9, 'later', '2031-01-01')")
    connection.commit()
    connection.close()
    before = (tmp_path / FILE).read_bytes()
    with pytest.raises(StoreError) as refused:
        Store.open(tmp_path)
    assert str(refused.value) == (
        "This garage was last used by a newer program: its layout is number 9, this program knows up to "
        f"{MIGRATIONS[-1].number}. Install the newer program again; nothing was changed."
    )
    assert (tmp_path / FILE).read_bytes() == before
