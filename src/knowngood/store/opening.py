"""Opening the database of a garage: made where there is none, known by its layout, brought to today's."""

import os
import secrets
import sqlite3
import uuid
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from knowngood.store.checking import Mark
from knowngood.store.errors import PLACE, RESTORE, StoreError, damaged
from knowngood.store.migrations import MIGRATIONS, layout, layout_after, migrate, taken, transaction
from knowngood.store.photos import sync_folder

BUSY_MS = 5000
DRAFT = ".new-"


def connect(file: Path, mode: str = "rwc") -> sqlite3.Connection:
    """Connect, with text as bytes: what is damaged may be no text any more."""
    connection = sqlite3.connect(
        f"{file.absolute().as_uri()}?mode={mode}", uri=True, isolation_level=None, check_same_thread=False
    )
    connection.text_factory = bytes
    connection.execute(f"PRAGMA busy_timeout = {BUSY_MS}")
    return connection


def make(file: Path, clock: Callable[[], datetime]) -> None:
    """Lay a new database out beside its place, then name it: a power cut leaves either none or a whole one."""
    draft = file.with_name(f"{DRAFT}{uuid.uuid4().hex}.sqlite3")
    connection = connect(draft)
    try:
        _lay_out(connection, clock)
    finally:
        connection.close()
    _name(draft, file)
    sync_folder(file.parent)


def _name(draft: Path, file: Path) -> None:
    try:
        os.link(draft, file)
    except FileExistsError:
        pass  # another program was first; its database is the garage
    except FileNotFoundError:
        if not file.exists():  # else that program has cleared this draft too
            raise
    except OSError:
        draft.replace(file)  # a disk without links, such as a memory stick
    finally:
        draft.unlink(missing_ok=True)


def clear_drafts(folder: Path) -> None:
    """Take away what first starts that were killed have left; the garage is there."""
    for left in folder.glob(f"{DRAFT}*.sqlite3*"):
        try:
            left.unlink(missing_ok=True)
        except PermissionError:
            continue  # on Windows another program holds it still: it is that one's to clear


def opened(file: Path, clock: Callable[[], datetime]) -> sqlite3.Connection:
    """Open a garage's database and bring it to today's layout.

    Raises:
        StoreError: It is damaged, of a newer program, or not a garage's.
    """
    connection = connect(file)
    try:
        _must_be_a_garage(connection, file)
        if connection.execute("PRAGMA quick_check(1)").fetchone()[0] != b"ok":
            raise damaged(file)
        _lay_out(connection, clock)
    except BaseException:
        connection.close()
        raise
    return connection


def _must_be_a_garage(connection: sqlite3.Connection, file: Path) -> None:
    """Before anything is written: another program's file is not ours to change."""
    try:
        here = layout(connection)
        known = any(name == b"migration" for _, name, *_ in here)
        number = taken(connection) if known else 0
    # SQLite quotes what it cannot read, and that may be no text.
    except (sqlite3.OperationalError, UnicodeDecodeError) as trouble:
        raise damaged(file, "it does not say how it is laid out") from trouble
    if not known:
        raise StoreError(
            f"{PLACE} is another program's database, not a garage's; it was left as it is. Move it elsewhere, or name "
            f"another folder for the garage. If this was your garage: {RESTORE[0].lower()}{RESTORE[1:]}",
            file,
        )
    if number < 1 or (number <= MIGRATIONS[-1].number and here != layout_after(number)):
        raise StoreError(f"{PLACE} is damaged, or another program has changed its layout. {RESTORE}", file)


def _lay_out(connection: sqlite3.Connection, clock: Callable[[], datetime]) -> None:
    connection.execute("PRAGMA journal_mode = WAL")
    connection.execute("PRAGMA synchronous = FULL")
    migrate(connection, clock)
    if connection.execute("SELECT 1 FROM checked").fetchone() is None:
        with transaction(connection):
            fresh = (secrets.token_hex(16), secrets.token_hex(32))
            connection.execute("INSERT OR IGNORE INTO own VALUES (1, ?, ?)", fresh)
            write_mark(connection, Mark(), own_of(connection))


def own_of(connection: sqlite3.Connection) -> tuple[str, str]:
    """Return the garage's id and secret."""
    id, secret = connection.execute("SELECT id, secret FROM own").fetchone() or (b"", b"")
    return id.decode(errors="replace"), secret.decode(errors="replace")


def write_mark(connection: sqlite3.Connection, mark: Mark, own: tuple[str, str]) -> None:
    """Keep up to where all was sound."""
    row = (mark.seq, mark.chain, mark.happened, mark.digest(own))
    connection.execute("INSERT OR REPLACE INTO checked VALUES (1, ?, ?, ?, ?)", row)


def mark_of(connection: sqlite3.Connection, own: tuple[str, str], file: Path) -> Mark:
    """Return up to where all was sound.

    Raises:
        StoreError: The row, or the garage's id or secret, is not what was written.
    """
    seq, chain, happened, digest = connection.execute("SELECT seq, chain, happened, digest FROM checked").fetchone()
    mark = Mark(seq, *(text.decode(errors="replace") for text in (chain, happened)))
    if mark.digest(own).encode() != digest:
        raise damaged(file, "what this garage is known by has changed")
    return mark
