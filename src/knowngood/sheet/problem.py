"""A problem: a row about what the person wrote, with the place and the sentence."""

from dataclasses import dataclass
from enum import StrEnum


class Severity(StrEnum):
    """A stop blocks a job's start; a caution and a note do not."""

    STOP = "stop"
    CAUTION = "caution"
    NOTE = "note"


@dataclass(frozen=True)
class Problem:
    """Where, what was found, what is allowed and what to do; the message says all four."""

    code: str
    severity: Severity
    file: str
    line: int
    column: int
    step: str | None
    message: str
