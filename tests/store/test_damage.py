"""A damaged garage: the same words, or named or refused in words. Never other words, never a traceback."""

import random
import shutil
import sqlite3
from collections import Counter
from contextlib import closing

import pytest
from tests.garages import NOW
from tests.store.corrupting import corrupted

from knowngood.store import store as module
from knowngood.store.checking import Mark, Stopped
from knowngood.store.errors import StoreError
from knowngood.store.event import Event
from knowngood.store.rows import Damage, damage_of
from knowngood.store.store import FILE, Store

WHEN = "2026-05-04T10:00:00+00:00"
OF_4_MAY = 'An entry of 4 May 2026 ("noted") is damaged and left out.'


def clock():
    return NOW


def note(number, *, stream="job/a", text="a note"):
    return Event.new(
        id=f"{number:08x}", stream=stream, kind="noted", device="phone", device_seq=0, happened=WHEN, recorded=WHEN,
        data={"text": f"{text} {number}", "step": None},
    )  # fmt: skip


@pytest.fixture
def folder(tmp_path):
    """A garage of twelve notes in two streams."""
    with closing(Store.open(tmp_path, clock=clock)) as store:
        store.append([note(number, stream=f"job/{'ab'[number % 2]}") for number in range(1, 13)])
    return tmp_path


def altered(folder, *statements):
    """Change the database behind the program's back, with what refuses changes put away meanwhile."""
    with closing(sqlite3.connect(folder / FILE, isolation_level=None)) as connection:
        triggers = connection.execute("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'").fetchall()
        for name, _ in triggers:
            connection.execute(f"DROP TRIGGER {name}")
        for statement in statements:
            connection.execute(statement)
        for _, sql in triggers:
            connection.execute(sql)


def words(folder, job=None):
    with closing(Store.open(folder, clock=clock)) as store:
        return [one.words for one in store.damage(job)]


def test_a_row_is_sound_only_with_the_words_that_it_was_kept_with(folder):
    connection = sqlite3.connect(folder / FILE)
    connection.text_factory = bytes
    rows = connection.execute("SELECT * FROM event").fetchall()
    connection.close()
    assert [damage_of(row) for row in rows] == [None] * 12
    for place, value in enumerate(rows[3]):
        other = value + 1 if isinstance(value, int) else value[:-1] + b"\xff"
        row = (*rows[3][:place], other, *rows[3][place + 1 :])
        if place:  # seq is no part of what was said
            assert isinstance(damage_of(row), Damage)
        for strange in (None, 2.5, 7 if isinstance(value, bytes) else b"7"):
            assert place == 0 or isinstance(damage_of((*rows[3][:place], strange, *rows[3][place + 1 :])), Damage)


def test_other_words_are_named_and_left_out_and_all_else_is_read(folder):
    altered(folder, "UPDATE event SET data = replace(data, 'a note', 'no note') WHERE seq = 5")
    with closing(Store.open(folder, clock=clock)) as store:
        assert [one.words for one in store.damage()] == [OF_4_MAY]
        assert [event.seq for event in store.events()] == [1, 2, 3, 4, 6, 7, 8, 9, 10, 11, 12]
        assert store.event("00000005") is None
        assert store.damage("job/a") == []
        assert [one.words for one in store.damage("job/b")] == [OF_4_MAY]


def test_a_damaged_one_is_not_written_over(folder):
    altered(folder, "UPDATE event SET data = '{}' WHERE seq = 5")
    with closing(Store.open(folder, clock=clock)) as store, pytest.raises(StoreError) as refused:
        store.append([note(5, stream="job/b")])
    assert str(refused.value) == f"{OF_4_MAY} It was kept under the same id. Reload the page and write it again."


def test_what_is_damaged_while_it_is_open_is_met_by_whoever_reads_it(folder):
    with closing(Store.open(folder, clock=clock)) as store:
        altered(folder, "UPDATE event SET recorded = 'x' WHERE seq = 2")
        assert store.damage() == []
        assert [event.seq for event in store.events("job/a")] == [4, 6, 8, 10, 12]
        assert [one.words for one in store.damage()] == ['An entry ("noted") is damaged and left out.']


@pytest.mark.parametrize(
    ("which", "said"),
    [
        ("seq = 4", "Entry number 4 is missing."),
        ("seq BETWEEN 4 AND 6", "The entries number 4 to 6 are missing."),
        ("seq > 10", "The entries number 11 to 12 are missing."),
    ],
)
def test_what_is_missing_is_named_on_every_job(folder, which, said):
    altered(folder, f"DELETE FROM event WHERE {which}")
    assert words(folder) == words(folder, "job/a") == words(folder, "job/b") == [said]


@pytest.mark.parametrize("large", [False, True])
def test_an_index_that_lost_an_event_is_made_again(folder, large, monkeypatch):
    """An index is no part of what was said; through a damaged one an event would be missing without a word."""
    with closing(sqlite3.connect(folder / FILE, isolation_level=None)) as connection:
        (root,) = connection.execute("SELECT rootpage FROM sqlite_schema WHERE name = 'event_by_stream'").fetchone()
        (size,) = connection.execute("PRAGMA page_size").fetchone()
    content = bytearray((folder / FILE).read_bytes())
    place = content.index(b"job/a", size * (root - 1), size * root)
    content[place + 4] ^= 1 << 4
    (folder / FILE).write_bytes(content)
    monkeypatch.setattr(module, "AT_ONCE", 3 if large else 100)
    with closing(Store.open(folder, clock=clock)) as store:
        assert store.damage() == []
        assert [event.seq for event in store.events("job/a")] == [2, 4, 6, 8, 10, 12]


@pytest.mark.parametrize("number", [-3, 0, 1, 2])
def test_a_layout_that_its_number_does_not_belong_to_is_refused(folder, number):
    altered(folder, "DELETE FROM migration", f"INSERT INTO migration VALUES ({number}, 'n', '{WHEN}')")
    with pytest.raises(StoreError, match=r"is damaged, or another program has changed its layout\."):
        Store.open(folder, clock=clock)


def test_another_programs_database_is_left_as_it_is(tmp_path):
    with closing(sqlite3.connect(tmp_path / FILE)) as connection:
        connection.execute("CREATE TABLE t (a)")
        connection.commit()
    before = (tmp_path / FILE).read_bytes()
    with pytest.raises(StoreError, match="is another program's database, not a garage's; it was left as it is"):
        Store.open(tmp_path, clock=clock)
    assert (tmp_path / FILE).read_bytes() == before
    assert [one.name for one in tmp_path.iterdir()] == [FILE]


def test_what_the_garage_is_known_by_is_looked_at_too(folder):
    altered(folder, "UPDATE own SET secret = replace(secret, substr(secret, 1, 1), 'x')")
    with pytest.raises(StoreError, match="is damaged: what this garage is known by has changed"):
        Store.open(folder, clock=clock)


@pytest.mark.parametrize("large", [False, True])
def test_all_is_looked_at_and_the_mark_moves_when_all_is_sound(folder, large, monkeypatch):
    """`large` is a garage of which opening looks only at what is new."""
    monkeypatch.setattr(module, "AT_ONCE", 3 if large else 100)
    with closing(Store.open(folder, clock=clock)) as store:
        assert store._mark == Mark()
        checked = store.check()
        assert (checked.entries, checked.damage) == (12, [])
        assert (store._mark.seq, store._mark.happened) == (12, "2026-11-21T12:00:00+00:00")
        store.append([note(13)])
    altered(folder, "UPDATE event SET data = '{}' WHERE seq IN (3, 13)")
    with closing(Store.open(folder, clock=clock)) as store:
        assert [one.seq for one in store.damage()] == ([13] if large else [3, 13])
        assert [one.seq for one in store.check().damage] == [3, 13]
        assert [one.seq for one in store.damage()] == [3, 13]
        assert store._mark.seq == 12


def test_of_a_large_garage_no_more_than_the_newest_are_looked_at_before_it_opens(folder, monkeypatch):
    altered(folder, "UPDATE event SET data = '{}' WHERE seq IN (2, 11)")
    monkeypatch.setattr(module, "AT_ONCE", 3)
    with closing(Store.open(folder, clock=clock)) as store:
        assert [one.seq for one in store.damage()] == [11]
        assert [event.seq for event in store.events("job/a")] == [4, 6, 8, 10, 12]
        assert [one.seq for one in store.damage()] == [2, 11]


def test_entries_made_anew_with_digests_of_their_own_are_noticed(folder):
    """Each event says what its digest was made of, and yet they are not those that were looked at."""
    with closing(Store.open(folder, clock=clock)) as store:
        store.check()
    other = note(5, stream="job/b", text="another note")
    data = f"""'{{"step":null,"text":"{other.data["text"]}"}}'"""
    altered(folder, f"UPDATE event SET data = {data}, digest = '{other.digest}' WHERE seq = 5")
    assert words(folder) == ["Of the first 12 entries, sound on 21 November 2026, some say other words now."]


def test_a_look_that_is_stopped_ends_and_says_nothing(folder):
    with closing(Store.open(folder, clock=clock)) as store:
        with pytest.raises(Stopped):
            store.check(lambda: False)
        assert store._mark == Mark()


def opened_or_refused(folder):
    try:
        return Store.open(folder, clock=clock), ""
    except StoreError as refused:
        return None, str(refused)


def test_random_damage_is_never_read_as_other_words(tmp_path, demo_folder, rounds):
    with closing(Store.open(shutil.copytree(demo_folder, tmp_path / "whole"), clock=clock)) as store:
        before = {event.id: event for event in store.events()}
    content, rng, came = (tmp_path / "whole" / FILE).read_bytes(), random.Random(20261130), Counter()
    folder = tmp_path / "damaged"
    folder.mkdir()
    for _ in range(rounds(120)):
        for left in folder.iterdir():
            left.unlink()
        (folder / FILE).write_bytes(corrupted(content, rng))
        store, words = opened_or_refused(folder)
        if store is None:
            assert words.startswith(f"{folder / FILE} is ")
            came["refused"] += 1
            continue
        with closing(store):
            by_stream = [event for stream in store.streams() for event in store.events(stream)]
            assert all(before[event.id] == event for event in by_stream)
            assert sorted(by_stream, key=lambda one: one.seq) == sorted(store.events(), key=lambda one: one.seq)
            left_out = len(before) - len(by_stream)
            assert bool(left_out) <= bool(store.damage())
            came["named" if store.damage() else "the same"] += 1
    assert set(came) == {"refused", "named", "the same"}
