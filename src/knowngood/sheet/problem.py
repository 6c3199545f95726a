"""A problem: a row about what the person wrote, with the place and the sentence."""

import hashlib
from dataclasses import dataclass
from enum import StrEnum


class Severity(StrEnum):
    """A stop blocks a job's start; a caution and a note do not."""

    STOP = "stop"
    CAUTION = "caution"
    NOTE = "note"


@dataclass(frozen=True)
class Answer:
    """One tap that settles a problem: the words on its button, and the entry of the job that it makes.

    Args:
        words: What the person says by it, such as "It is a brake part".
        kind: Kind of the entry.
        fields: Names and values of the entry.
    """

    words: str
    kind: str
    fields: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class Problem:
    """Where, what was found, what is allowed and what to do; the message says all four.

    Args:
        code: Which rule, in words that stay.
        place: Which place of the sheet, by names that stay when lines move: `steps/drain/tighten`.
        answers: Ways to settle it by one tap; none where the sheet must be mended.
    """

    code: str
    severity: Severity
    file: str
    line: int
    column: int
    step: str | None
    message: str
    place: str = ""
    answers: tuple[Answer, ...] = ()

    @property
    def said(self) -> str:
        """The message without its file and line, which move when something else of the sheet is revised."""
        return self.message.removeprefix(f"{self.file}:{self.line}: ")

    @property
    def key(self) -> str:
        """Tells this problem from every other: its rule, its place and what it says."""
        return hashlib.sha256("\n".join((self.code, self.place, self.said)).encode()).hexdigest()[:16]
