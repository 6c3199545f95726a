import sqlite3
import threading
from contextlib import closing
from datetime import UTC, datetime

import pytest

from knowngood.store import opening
from knowngood.store.errors import StoreError, in_words
from knowngood.store.event import Event
from knowngood.store.migrations import MIGRATIONS, migrate
from knowngood.store.store import FILE, Store

WHEN = "2026-05-04T10:00:00+00:00"
NEVER = "what happened is never changed: withdraw it with another event"


@pytest.fixture
def store(tmp_path):
    opened = Store.open(tmp_path)
    yield opened
    opened.close()


def _event(number, *, stream="job/a", text="a note", device="phone", device_seq=0, recorded=WHEN):
    return Event.new(
        id=f"{number:08x}", stream=stream, kind="noted", device=device, device_seq=device_seq,
        happened=WHEN, recorded=recorded, data={"text": text, "step": None},
    )  # fmt: skip


def _refused(act, *arguments):
    with pytest.raises(StoreError) as refused:
        act(*arguments)
    return str(refused.value)


def _copied(store, tmp_path):
    """A whole database with something in it, closed, as bytes."""
    store.append([_event(number, text="words " * 40) for number in range(300)])
    store.close()
    return (tmp_path / FILE).read_bytes()


def test_a_new_garage_is_one_file_in_its_folder(tmp_path):
    store = Store.open(tmp_path / "some" / "garage")
    assert store.events() == []
    store.close()
    assert [one.name for one in (tmp_path / "some" / "garage").iterdir()] == [FILE]


def test_what_is_kept_comes_back_the_same_after_opening_again(tmp_path):
    store = Store.open(tmp_path)
    sent = [_event(1, text="Ω ± µ"), _event(2, stream="toolbox")]
    stored = store.append(sent)
    store.close()
    again = Store.open(tmp_path)
    assert again.events() == stored
    assert [event.seq for event in stored] == [1, 2]
    assert [event.digest for event in stored] == [event.digest for event in sent]
    assert all(event.digest == event.computed_digest() for event in stored)
    again.close()


def test_one_event_by_its_id(store):
    (stored,) = store.append([_event(1)])
    assert store.event(stored.id) == stored
    assert store.event("00000099") is None


def test_a_stream_and_what_came_after(store):
    store.append([_event(1), _event(2, stream="toolbox"), _event(3)])
    assert [event.id for event in store.events("job/a")] == ["00000001", "00000003"]
    assert [event.id for event in store.events("job/a", after_seq=1)] == ["00000003"]
    assert [event.id for event in store.events(after_seq=1)] == ["00000002", "00000003"]


def test_streams_in_the_order_in_which_they_began(store):
    store.append([_event(1, stream="vehicle/b"), _event(2, stream="job/a"), _event(3, stream="vehicle/b")])
    assert store.streams() == ["vehicle/b", "job/a"]


def test_events_come_in_each_devices_own_count(store):
    store.append([_event(1, device_seq=2), _event(2, device="laptop", device_seq=1), _event(3, device_seq=1)])
    assert [event.id for event in store.events("job/a")] == ["00000003", "00000002", "00000001"]


def test_the_same_event_again_is_answered_as_the_first_time(store):
    first = store.append([_event(1)])
    assert store.append([_event(1, recorded="2026-05-04T10:05:00+00:00")]) == first
    assert store.append([_event(1), _event(1)]) == [*first, *first]
    assert store.events() == first


def test_the_same_id_with_other_words_is_refused_and_all_of_it_left_out(store):
    store.append([_event(1)])
    assert _refused(store.append, [_event(2), _event(1, text="other")]) == (
        'The id "00000001" is taken: "noted" was kept under it with other words. Reload the page and write it again.'
    )
    assert [event.id for event in store.events()] == ["00000001"]


@pytest.mark.parametrize(
    "sql",
    [
        "UPDATE event SET data = '{}'",
        "DELETE FROM event",
        "INSERT OR REPLACE INTO event SELECT seq, id, stream, 'other', version, device, device_seq, happened, "
        "recorded, data, digest FROM event",
    ],
)
def test_the_database_itself_refuses_to_change_what_happened(store, tmp_path, sql):
    stored = store.append([_event(1)])
    connection = sqlite3.connect(tmp_path / FILE)
    with pytest.raises(sqlite3.IntegrityError, match=f"^{NEVER}$"):
        connection.execute(sql)
    connection.close()
    assert store.events() == stored


def test_the_table_takes_no_text_for_a_number(store, tmp_path):
    connection = sqlite3.connect(tmp_path / FILE)
    with pytest.raises(sqlite3.IntegrityError, match=r"^cannot store TEXT value in INTEGER column event\.version$"):
        connection.execute("INSERT INTO event VALUES (1, 'a', 'b', 'c', 'one', 'd', 0, 'e', 'f', '{}', 'g')")
    connection.close()


def test_every_write_is_on_the_disk_before_it_is_acknowledged(store):
    assert store._connection.execute("PRAGMA journal_mode").fetchone() == (b"wal",)
    assert store._connection.execute("PRAGMA synchronous").fetchone() == (2,)


def test_several_threads_and_two_stores_at_once(store, tmp_path):
    other = Store.open(tmp_path)

    def write(into, first):
        for number in range(first, first + 25):
            into.append([_event(number)])

    writers = [threading.Thread(target=write, args=([store, other][n % 2], 100 * n)) for n in range(4)]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join()
    other.close()
    assert {event.id for event in store.events()} == {f"{100 * n + m:08x}" for n in range(4) for m in range(25)}


def test_an_empty_database_is_refused(tmp_path):
    (tmp_path / FILE).write_bytes(b"")
    assert _refused(Store.open, tmp_path) == (
        f"{tmp_path / FILE} is empty (0 bytes): what it held is gone. "
        "Put back the copy from your last backup; keep this file beside it."
    )
    assert (tmp_path / FILE).read_bytes() == b""


def test_a_file_that_is_no_database_is_refused(tmp_path):
    (tmp_path / FILE).write_bytes(b"Dear diary, " * 500)
    assert _refused(Store.open, tmp_path) == (
        f"{tmp_path / FILE} is not a garage's database, or its beginning is damaged. "
        "Put back the copy from your last backup; keep this file beside it."
    )


@pytest.mark.parametrize("share", [0.3, 0.6, 0.95])
def test_a_database_cut_short_is_refused(store, tmp_path, share):
    whole = _copied(store, tmp_path)
    (tmp_path / FILE).write_bytes(whole[: int(len(whole) * share)])
    assert _refused(Store.open, tmp_path) == (
        f"{tmp_path / FILE} is damaged: a part of it is missing or unreadable. "
        "Put back the copy from your last backup; keep this file beside it."
    )


def test_a_database_with_a_page_overwritten_is_refused(store, tmp_path):
    whole = _copied(store, tmp_path)
    middle = len(whole) // 8192 * 4096
    (tmp_path / FILE).write_bytes(whole[:middle] + bytes(4096) + whole[middle + 4096 :])
    assert _refused(Store.open, tmp_path) == (
        f"{tmp_path / FILE} is damaged: a part of it is missing or unreadable. "
        "Put back the copy from your last backup; keep this file beside it."
    )


def test_a_full_disk_is_said_and_nothing_is_half_kept(store, tmp_path):
    store.append([_event(1)])
    pages = store._connection.execute("PRAGMA page_count").fetchone()[0]
    store._connection.execute(f"PRAGMA max_page_count = {pages}")
    assert _refused(store.append, [_event(number, text="words " * 200) for number in range(2, 20)]) == (
        f"{tmp_path / FILE}: the disk is full, so nothing of this was kept. Make room and send it again."
    )
    assert [event.id for event in store.events()] == ["00000001"]
    store._connection.execute(f"PRAGMA max_page_count = {pages + 100}")
    store.append([_event(2)])
    assert [event.id for event in store.events()] == ["00000001", "00000002"]


def test_a_database_that_may_only_be_read_is_said(store, tmp_path, monkeypatch):
    store.append([_event(1)])

    connect = opening.connect
    monkeypatch.setattr(opening, "connect", lambda file, *_: connect(file, "ro"))
    reader = Store.open(tmp_path)
    assert len(reader.events()) == 1
    assert _refused(reader.append, [_event(2)]) == (
        f"{tmp_path / FILE} can be read but not written. Allow writing to its folder, then start again."
    )
    reader.close()


@pytest.mark.parametrize("below", ["", "garage"])
def test_a_file_where_the_folder_should_be_is_said(tmp_path, below):
    (tmp_path / "here").write_text("a file")
    folder = tmp_path / "here" / below
    assert (
        _refused(Store.open, folder)
        == f"{folder} is a file, but a garage is a folder. Name another place for the garage."
    )


def test_a_folder_where_the_database_should_be_is_said(tmp_path):
    (tmp_path / FILE / "inside").mkdir(parents=True)
    assert _refused(Store.open, tmp_path) == (
        f"{tmp_path / FILE} cannot be opened. Look whether its folder is there and may be written to."
    )


def test_a_database_held_too_long_is_said(store, tmp_path):
    holder = sqlite3.connect(tmp_path / FILE, isolation_level=None)
    holder.execute("BEGIN IMMEDIATE")
    store._connection.execute("PRAGMA busy_timeout = 50")
    assert _refused(store.append, [_event(1)]) == (
        f"{tmp_path / FILE} is held by another program for too long. "
        "Close the other program, then send it again; nothing of this was kept."
    )
    holder.execute("ROLLBACK")
    holder.close()
    assert len(store.append([_event(1)])) == 1


def test_a_mistake_of_this_program_is_not_dressed_up(tmp_path):
    with closing(sqlite3.connect(":memory:")) as other, pytest.raises(sqlite3.OperationalError) as wrong:
        other.execute("SELECT nothing")
    assert in_words(wrong.value, tmp_path) is None


def test_a_second_program_that_was_first_keeps_its_garage(tmp_path, monkeypatch):
    """Between looking for the file and naming the new one, another program makes it."""
    make = opening.make

    def late(file, clock):
        make(file, clock)
        with closing(Store(opening.opened(file, clock), file, clock)) as other:
            other.append([_event(1)])
        make(file, clock)

    monkeypatch.setattr(opening, "make", late)
    store = Store.open(tmp_path)
    assert [event.id for event in store.events()] == ["00000001"]
    store.close()
    assert [one.name for one in tmp_path.iterdir()] == [FILE]


def test_a_disk_without_links_gets_its_garage_too(tmp_path, monkeypatch):
    def no_link(*_):
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr(opening.os, "link", no_link)
    store = Store.open(tmp_path)
    store.append([_event(1)])
    store.close()
    assert [one.name for one in tmp_path.iterdir()] == [FILE]


def test_a_garage_keeps_its_own_id_and_secret_and_no_other_has_them(tmp_path):
    first, other = Store.open(tmp_path / "a"), Store.open(tmp_path / "b")
    known = first.id, first.secret
    first.close()
    again = Store.open(tmp_path / "a")
    assert (again.id, again.secret) == known
    assert not {again.id, again.secret} & {other.id, other.secret}
    assert [len(one) for one in known] == [32, 64]
    other.close()
    again.close()


def test_a_garage_of_the_first_layout_gets_an_id_and_a_secret(tmp_path):
    connection = sqlite3.connect(tmp_path / FILE, isolation_level=None)
    migrate(connection, lambda: datetime.now(UTC), MIGRATIONS[:1])
    connection.close()
    store = Store.open(tmp_path)
    assert len(store.id) == 32
    store.close()


def test_what_first_starts_that_were_killed_have_left_is_cleared(tmp_path):
    """A first start killed while it lays its database out leaves the draft and what SQLite keeps beside it."""
    for name in (".new-1.sqlite3", ".new-1.sqlite3-wal", ".new-1.sqlite3-shm", ".new-2.sqlite3-journal"):
        (tmp_path / name).write_bytes(b"half")
    (tmp_path / "own.txt").write_text("the person's own")
    Store.open(tmp_path).close()
    assert sorted(one.name for one in tmp_path.iterdir()) == [FILE, "own.txt"]


def test_a_first_start_whose_draft_another_program_cleared_opens_that_ones_garage(tmp_path, monkeypatch):
    link = opening.os.link

    def late(draft, file):
        link(draft, file)
        draft.unlink()
        raise FileNotFoundError(2, "No such file or directory")

    monkeypatch.setattr(opening.os, "link", late)
    Store.open(tmp_path).close()
    assert [one.name for one in tmp_path.iterdir()] == [FILE]


def test_where_the_garage_lies_is_for_this_computer_only(store, tmp_path):
    store._connection.execute("PRAGMA query_only = 1")
    with pytest.raises(StoreError) as refused:
        store.append([_event(1)])
    assert str(refused.value).startswith(str(tmp_path / FILE))
    assert refused.value.elsewhere == (
        "The garage can be read but not written. Allow writing to its folder, then start again."
    )


def test_within_a_transaction_others_see_nothing_and_an_error_leaves_nothing(store, tmp_path):
    seen = []
    other = threading.Thread(target=lambda: seen.append(len(store.events())))
    with closing(Store.open(tmp_path)) as elsewhere:
        with store.transaction():
            store.append([_event(1)])
            other.start()
            assert [len(one.events()) for one in (store, elsewhere)] == [1, 0]
            store.append([_event(2)])
        other.join()
        assert seen == [2]
        with pytest.raises(StoreError), store.transaction():
            store.append([_event(3), _event(1, text="other")])
        assert len(elsewhere.events()) == 2
