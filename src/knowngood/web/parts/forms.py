"""The one form component's input: which fields each kind of entry has, with what was typed kept."""

import secrets
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from markupsafe import Markup


@dataclass(frozen=True)
class Kept:
    """A form that came back with problems: what was typed, and a sentence at each field.

    What was refused was not stored, so what is sent next is an entry of its own.
    """

    key: str
    values: Mapping[str, str]
    problems: Mapping[str, str]


@dataclass(frozen=True)
class Field:
    """One field, as the form macro takes it.

    Args:
        kind: number, text, long, choice, pick, readings, file or check.
        signed: What belongs here may be below zero.
        offers: Values typed before, by the instrument that was read.
        asked: Drawn only once it is asked for by a problem, or was filled in.
        pictures: A picture for each choice of a `choice` field, as markup of ours.
        accept: Which types of file may be chosen.
        capture: A phone opens its camera instead of its album.
    """

    name: str
    label: str
    kind: str = "text"
    unit: str = ""
    value: str = ""
    hint: str = ""
    choices: Sequence[tuple[str, str]] = ()
    required: bool = False
    half: bool = False
    signed: bool = False
    offers: Mapping[str, Sequence[str]] = field(default_factory=dict)
    accept: str = ""
    capture: bool = False
    pictures: Mapping[str, Markup] = field(default_factory=dict)
    asked: bool = False


@dataclass(frozen=True)
class Button:
    """One button; `look` is done, quiet or plain."""

    label: str
    look: str = "plain"
    name: str = ""
    value: str = ""


@dataclass(frozen=True)
class Form:
    """A form for one entry."""

    kind: str
    stream: str
    back: str
    fields: Sequence[Field] = ()
    buttons: Sequence[Button] = (Button("Keep it", "done"),)
    hidden: Mapping[str, str] = field(default_factory=dict)
    bar: bool = False

    @property
    def key(self) -> str:
        """Tells this form from the others of a page, so that what was typed comes back to it."""
        return " ".join([self.kind, self.stream, *self.hidden.values()])

    def shown(self, kept: Kept | None) -> dict[str, Any]:
        """The dict that the form macro takes; what was typed and what was wrong with it filled in."""
        mine = kept if kept and kept.key == self.key else Kept(self.key, {}, {})
        return {
            "id": secrets.token_hex(16),
            "stream": self.stream,
            "kind": self.kind,
            "back": self.back,
            "hidden": {**self.hidden, "form": self.key},
            "fields": [_shown(one, mine) for one in self.fields],
            "buttons": [vars(one) for one in self.buttons],
            "error": mine.problems.get("", ""),
            "bar": self.bar,
            "open": mine is kept,
        }


def _shown(one: Field, kept: Kept) -> dict[str, Any]:
    value = kept.values.get(one.name, one.value)
    choices = [[*choice] for choice in one.choices]
    return {**vars(one), "choices": choices, "value": value, "error": kept.problems.get(one.name, "")}
