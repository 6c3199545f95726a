"""What follows from streams, kept beside them: made again wherever it does not fit what happened."""

import hashlib
import sqlite3
from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True)
class Follows:
    """What follows from a stream up to its newest event.

    Args:
        stream: Which one.
        seq: Its newest event then.
        version: Of how it was made.
        said: What is asked of all streams at once, as JSON.
        more: What is asked of one of them, as JSON.
    """

    stream: str
    seq: int
    version: str
    said: str
    more: str = ""

    @property
    def digest(self) -> str:
        """SHA-256 over all it says: a damaged row fits nothing."""
        return hashlib.sha256(repr((self.stream, self.seq, self.version, self.said, self.more)).encode()).hexdigest()


def kept_rows(connection: sqlite3.Connection, version: str, stream: str | None = None) -> list[Follows]:
    """Return the rows of this version that are as they were kept: of one stream, or of all."""
    chosen, values = ("", ()) if stream is None else (" WHERE stream = ?", (stream,))
    rows = connection.execute(f"SELECT stream, seq, version, said, more, digest FROM follows{chosen}", values)
    found = [(_row(*row[:-1]), row[-1]) for row in rows]
    return [one for one, digest in found if one.version == version and one.digest.encode() == digest]


def _row(stream: bytes, seq: int, *texts: bytes) -> Follows:
    return Follows(str(stream, errors="replace"), seq, *(str(one, errors="replace") for one in texts))


def keep_rows(connection: sqlite3.Connection, rows: Iterable[Follows]) -> None:
    """Keep rows in place of those of the same streams."""
    values = [(one.stream, one.seq, one.version, one.said, one.more, one.digest) for one in rows]
    connection.executemany("INSERT OR REPLACE INTO follows VALUES (?, ?, ?, ?, ?, ?)", values)


def newest_seqs(connection: sqlite3.Connection, after: int) -> dict[str, int]:
    """Return where the newest event of each stream stands, of those that have one after another event.

    They come in the order of the first of these.
    """
    sql = "SELECT stream, max(seq) FROM event WHERE seq > ? GROUP BY stream ORDER BY min(seq)"
    return {str(stream, errors="replace"): int(seq) for stream, seq in connection.execute(sql, (after,))}
