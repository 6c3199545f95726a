"""One plain sentence for each way in which the folder or its database can fail."""

import sqlite3
from pathlib import Path

# What to do, by SQLite's primary result code.
SENTENCES = {
    sqlite3.SQLITE_NOTADB: "{place} is not a garage's database, or its beginning is damaged. {restore}",
    sqlite3.SQLITE_CORRUPT: "{place} is damaged: a part of it is missing or unreadable. {restore}",
    sqlite3.SQLITE_FULL: "{place}: the disk is full, so nothing of this was kept. Make room and send it again.",
    sqlite3.SQLITE_READONLY: "{place} can be read but not written. Allow writing to its folder, then start again.",
    sqlite3.SQLITE_PERM: "{place} can be read but not written. Allow writing to its folder, then start again.",
    sqlite3.SQLITE_BUSY: "{place} is held by another program for too long. {retry}",
    sqlite3.SQLITE_LOCKED: "{place} is held by another program for too long. {retry}",
    sqlite3.SQLITE_CANTOPEN: "{place} cannot be opened. Look whether its folder is there and may be written to.",
    sqlite3.SQLITE_IOERR: (
        "{place}: the disk did not answer, so nothing of this was kept. Check the disk and its cable."
    ),
}
PLACE = "{place}"
RESTORE = "Put back the copy from your last backup; keep this file beside it."
RETRY = "Close the other program, then send it again; nothing of this was kept."


class StoreError(Exception):
    """What happened cannot be kept or read; the text is one plain sentence and what to do.

    Args:
        words: The sentence; `{place}` in it is where on this computer that is.
        place: The file or folder.

    Attributes:
        elsewhere: The same for whoever is not at this computer, and so is not told where things lie on it.
    """

    def __init__(self, words: str, place: Path | None = None) -> None:
        super().__init__(words.replace(PLACE, str(place)))
        self.elsewhere = words.replace(PLACE, "The garage")


class PhotoRefused(StoreError):
    """What was sent as a photo is not kept; the text is one plain sentence and what to do."""


def damaged(file: Path, what: str = "a part of it is missing or unreadable") -> StoreError:
    """Return the sentence for a database that cannot be gone on with."""
    return StoreError(f"{PLACE} is damaged: {what}. {RESTORE}", file)


def in_words(trouble: sqlite3.Error, file: Path) -> StoreError | None:
    """Return the sentence for a trouble with the database; None when it is a mistake in this program."""
    code = getattr(trouble, "sqlite_errorcode", None)
    sentence = SENTENCES.get(code & 0xFF) if code is not None else None
    if sentence is None:
        return None
    return StoreError(sentence.replace("{restore}", RESTORE).replace("{retry}", RETRY), file)
