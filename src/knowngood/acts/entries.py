"""What a page or a script hands over: the words as typed. Reading them may refuse, at the field."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from knowngood.refusal import Refused


@dataclass(frozen=True)
class Entry:
    """What a person handed over: the words as typed and the files chosen, with an id made where that was done."""

    id: str
    stream: str
    kind: str
    fields: Mapping[str, str] = field(default_factory=dict)
    device: str = "this computer"
    device_seq: int = 0
    happened: str = ""
    files: Mapping[str, bytes] = field(default_factory=dict)

    def text(self, name: str) -> str:
        """A field as typed, empty when it was left out."""
        return self.fields.get(name, "").strip()

    def needed(self, name: str, what: str) -> str:
        """A field that must not be empty; `what` says what to write."""
        text = self.text(name)
        if not text:
            raise Refused({name: f"Nothing is written here. Write {what}."})
        return text

    @property
    def of(self) -> str:
        """The id in the stream: the job's, the vehicle's."""
        return self.stream.partition("/")[2]


@dataclass(frozen=True)
class Draft:
    """An event before it has an id, a device and a time. Only the first of an entry gets the entry's id."""

    kind: str
    data: dict[str, Any]
    stream: str | None = None
