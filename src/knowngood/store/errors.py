"""One plain sentence for each way in which the folder or its database can fail."""

import sqlite3
from pathlib import Path

# What to do, by SQLite's primary result code; {file} is the database.
SENTENCES = {
    sqlite3.SQLITE_NOTADB: "{file} is not a garage's database, or its beginning is damaged. {restore}",
    sqlite3.SQLITE_CORRUPT: "{file} is damaged: a part of it is missing or unreadable. {restore}",
    sqlite3.SQLITE_FULL: "{file}: the disk is full, so nothing of this was kept. Make room and send it again.",
    sqlite3.SQLITE_READONLY: "{file} can be read but not written. Allow writing to its folder, then start again.",
    sqlite3.SQLITE_PERM: "{file} can be read but not written. Allow writing to its folder, then start again.",
    sqlite3.SQLITE_BUSY: "{file} is held by another program for too long. {retry}",
    sqlite3.SQLITE_LOCKED: "{file} is held by another program for too long. {retry}",
    sqlite3.SQLITE_CANTOPEN: "{file} cannot be opened. Look whether its folder is there and may be written to.",
    sqlite3.SQLITE_IOERR: "{file}: the disk did not answer, so nothing of this was kept. Check the disk and its cable.",
}
RESTORE = "Put back the copy from your last backup; keep this file beside it."
RETRY = "Close the other program, then send it again; nothing of this was kept."


class StoreError(Exception):
    """What happened cannot be kept or read; the text is one plain sentence and what to do."""


class PhotoRefused(StoreError):
    """What was sent as a photo is not kept; the text is one plain sentence and what to do."""


def in_words(trouble: sqlite3.Error, file: Path) -> StoreError | None:
    """Return the sentence for a trouble with the database; None when it is a mistake in this program."""
    code = getattr(trouble, "sqlite_errorcode", None)
    sentence = SENTENCES.get(code & 0xFF) if code is not None else None
    return StoreError(sentence.format(file=file, restore=RESTORE, retry=RETRY)) if sentence else None
