"""What a page or a script hands over: the words as typed. Reading them may refuse, at the field."""

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from knowngood.acts.job.garage import Garage
from knowngood.refusal import Refused
from knowngood.store.event import canonical_json
from knowngood.store.moment import day_of

# The streams of what an entry makes new; each entry makes its own.
NEW_VEHICLE, NEW_JOB = "vehicle/new", "job/new"
ID_LETTERS = 12  # ours: 48 bits, so that no two things of one garage meet by chance


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
    def placed(self) -> "Entry":
        """The entry in the stream that it belongs to: what it makes new is called by the entry's own id."""
        if self.stream not in (NEW_VEHICLE, NEW_JOB):
            return self
        return replace(self, stream=f"{self.stream.partition('/')[0]}/{self.id[-ID_LETTERS:]}")

    @property
    def typed(self) -> str:
        """One digest of what was handed over, without who sent it and when: the same for every retry."""
        files = {name: hashlib.sha256(content).hexdigest() for name, content in self.files.items()}
        said = canonical_json([self.stream, self.kind, dict(self.fields), files])
        return hashlib.sha256(said.encode()).hexdigest()

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


def entry_day(garage: Garage, entry: Entry) -> date:
    """The day on which an entry is made, in its own zone; of one that came without a clock, in the garage's."""
    return day_of(entry.happened, garage.zone) if entry.happened else garage.today()
