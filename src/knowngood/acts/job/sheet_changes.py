"""What a revision of a sheet changed, in words."""

from collections.abc import Iterator, Mapping
from typing import Any

from knowngood.acts.job.torques import torque_words
from knowngood.acts.readings.values import span_words
from knowngood.sheet.model import AskRef, Fastener, Limit, Sheet, Step

# What a sheet holds by short name, and what one of it is called.
SECTIONS = {
    "limits": "limit", "fasteners": "fastener", "circuits": "circuit", "parts": "part", "asks": "question",
    "suspects": "suspect", "tests": "test", "repairs": "repair", "covers": "cover",
}  # fmt: skip
# The rest of a sheet, and what that is called.
REST = {
    "title": "the title", "about": "what it is about", "driven": "the driven axle", "scopes": "the scopes",
    "start": "how it starts", "end": "how it must end", "none_of_these": "the chance of none of the suspects",
    "check_after": "the check after the repair", "quote": "the quote",
}  # fmt: skip


def changes(before: Sheet, after: Sheet) -> list[str]:
    """Return what differs between two sheets, in words: limits and torques with both values, all else by its name."""
    found = [words for section, what in SECTIONS.items() for words in _section(section, what, before, after)]
    found += _steps(before, after)
    rest = (name for name in REST if getattr(before, name) != getattr(after, name))
    return [*found, *(f"{REST[name]} changed" for name in rest)]


def allowed_words(limit: Limit) -> str:
    """What a limit allows; of one that the manual states, that it does."""
    return "what your manual states" if isinstance(limit.band, AskRef) else span_words(limit.band)


def _section(section: str, what: str, before: Sheet, after: Sheet) -> Iterator[str]:
    old: Mapping[str, Any] = getattr(before, section)
    new: Mapping[str, Any] = getattr(after, section)
    for key, one in new.items():
        if key not in old:
            yield f"{what} “{_name(key, one)}” added"
        elif old[key] != one:
            yield _changed(what, key, old[key], one)
    yield from (f"{what} “{_name(key, one)}” removed" for key, one in old.items() if key not in new)


def _changed(what: str, key: str, old: Any, new: Any) -> str:
    values = [_value(one) for one in (old, new)]
    if values[0] != values[1]:
        return f"{_name(key, new)} from {values[0]} to {values[1]}"
    return f"{what} “{_name(key, new)}” changed"


def _value(one: Any) -> str:
    """The one number that such a thing is about; empty where it has none."""
    if isinstance(one, Limit):
        return allowed_words(one)
    return torque_words(one) if isinstance(one, Fastener) else ""


def _name(key: str, one: Any) -> str:
    return str(getattr(one, "name", None) or getattr(one, "question", None) or key.replace("_", " "))


def _steps(before: Sheet, after: Sheet) -> Iterator[str]:
    old, new = ({step.id: step for step in sheet.steps} for sheet in (before, after))
    yield from (_step(old.get(one), step) for one, step in new.items() if old.get(one) != step)
    yield from (f"step “{step.do}” removed" for one, step in old.items() if one not in new)
    if [one for one in old if one in new] != [one for one in new if one in old]:
        yield "the order of the steps changed"


def _step(old: Step | None, new: Step) -> str:
    if old is None:
        return f"step “{new.do}” added"
    return f"step “{old.do}” changed" if old.do == new.do else f"step “{old.do}” is now “{new.do}”"
