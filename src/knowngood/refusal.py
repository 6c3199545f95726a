"""What was typed and cannot be used: a sentence at the field that it is about."""

from collections.abc import Callable, Mapping
from typing import TypeVar

from knowngood.words import capital

T = TypeVar("T")


class Refused(Exception):
    """What was typed cannot be used: a sentence for each field, "" for the whole.

    Args:
        stale: The page it was typed on does not show why; the page as it is now does, and what to press.
    """

    def __init__(self, problems: Mapping[str, str], *, stale: bool = False) -> None:
        super().__init__("; ".join(problems.values()))
        self.problems = dict(problems)
        self.stale = stale


def parsed(name: str, read: Callable[[], T]) -> T:
    """Return what is read from a field; what `units` or an engine refuses becomes a problem at that field."""
    try:
        return read()
    except ValueError as refused:
        raise Refused({name: capital(str(refused))}) from refused
