"""What was typed and cannot be used: a sentence at the field that it is about."""

from collections.abc import Callable, Mapping
from typing import TypeVar

from knowngood import units

T = TypeVar("T")


class Refused(Exception):
    """What was typed cannot be used: a sentence for each field, "" for the whole."""

    def __init__(self, problems: Mapping[str, str]) -> None:
        super().__init__("; ".join(problems.values()))
        self.problems = dict(problems)


def parsed(name: str, read: Callable[[], T]) -> T:
    """Read a field; a units mistake becomes a problem at that field."""
    try:
        return read()
    except units.UnitsError as refused:
        raise Refused({name: str(refused)}) from refused
