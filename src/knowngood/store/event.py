"""An event: something that happened, with an id made where it was typed and a digest of all it says."""

import hashlib
import json
import re
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from knowngood.store import moment
from knowngood.store.errors import StoreError

ID = re.compile(r"[0-9a-f-]{8,64}")
MOMENT = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d(:\d\d(\.\d{1,9})?)?(Z|[+-]\d\d:\d\d)")
# Ours: a clock that lost its battery begins in 1970; what is reckoned from a later year runs out of the calendar.
YEARS = range(1970, 2200)


_quoted = json.JSONEncoder(ensure_ascii=False).encode


def canonical_json(thing: Any) -> str:
    """Return the one way to write a thing as JSON: sorted keys, no spaces, no escapes that are not needed.

    Raises:
        ValueError: A number in it is not finite.

    Example:
        >>> canonical_json({"b": 1, "a": "Ω"})
        '{"a":"Ω","b":1}'
    """
    return json.dumps(thing, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False)


def is_moment(text: str) -> bool:
    """Tell whether a text is a date and time with its zone that can be reckoned with.

    Example:
        >>> is_moment("2026-05-04T10:00:00Z[Pacific/Auckland]"), is_moment("9999-05-04T10:00:00Z"), is_moment("today")
        (True, False, False)
    """
    try:
        plain = moment.apart(text)[0]
        return bool(MOMENT.fullmatch(plain)) and datetime.fromisoformat(plain).year in YEARS
    except ValueError:  # the 31st of April
        return False


@dataclass(frozen=True)
class Event:
    """Something that happened, as it is kept.

    Args:
        seq: Order of arrival; None before it is kept.
        id: Made where it was typed.
        stream: `toolbox`, `phones`, `vehicle/…` or `job/…`.
        kind: What happened, such as `step_done`.
        version: Version of the shape of `data` for that kind.
        device: Who sent it.
        device_seq: Order on that device; 0 when the device does not count.
        happened: When, by the device's clock. Shown, never sorted by.
        recorded: When it arrived here.
        data: The rest, as JSON.
        digest: SHA-256 over the rest as stored, without `seq`.
    """

    seq: int | None
    id: str
    stream: str
    kind: str
    version: int
    device: str
    device_seq: int
    happened: str
    recorded: str
    data: dict[str, Any]
    digest: str

    @classmethod
    def new(  # noqa: PLR0913 - one for each column
        cls,
        *,
        id: str,
        stream: str,
        kind: str,
        device: str,
        device_seq: int,
        happened: str,
        recorded: str,
        data: dict[str, Any],
        version: int = 1,
    ) -> "Event":
        """Make an event that is not kept yet, with its digest.

        Raises:
            StoreError: The id has another form than ids have.
            ValueError: A number in the data is not finite.
        """
        if not ID.fullmatch(id):
            raise StoreError(f'"{id}" is not an id: 8 to 64 of 0-9, a-f and "-". Reload the page and send it again.')
        bare = cls(None, id, stream, kind, version, device, device_seq, happened, recorded, data, "")
        return replace(bare, digest=bare.computed_digest())

    def computed_digest(self) -> str:
        """SHA-256 over all it says, without `seq` and the digest itself."""
        head = (self.id, self.stream, self.kind, self.version, self.device, self.device_seq)
        return digest_of(*head, self.happened, self.recorded, canonical_json(self.data))

    @property
    def content(self) -> tuple[str, str, int, str]:
        """What must be the same when the same id is sent again; times differ with every try."""
        return self.stream, self.kind, self.version, canonical_json(self.data)


def digest_of(  # noqa: PLR0913, PLR0917 - one for each column
    id: str,
    stream: str,
    kind: str,
    version: int,
    device: str,
    device_seq: int,
    happened: str,
    recorded: str,
    data: str,
) -> str:
    """Return the SHA-256 over the canonical JSON of an event, of which `data` is canonical JSON already.

    The keys stand in sorted order, so the text is put together around the stored one, which need not be decoded.
    """
    said = (
        f'{{"data":{data},"device":{_quoted(device)},"device_seq":{device_seq},"happened":{_quoted(happened)},'
        f'"id":{_quoted(id)},"kind":{_quoted(kind)},"recorded":{_quoted(recorded)},"stream":{_quoted(stream)},'
        f'"version":{version}}}'
    )
    return hashlib.sha256(said.encode()).hexdigest()


def garage_digest(events: Iterable[Event]) -> str:
    """Return one digest over the ids of all events, in whatever order they come."""
    return hashlib.sha256("\n".join(sorted(event.id for event in events)).encode()).hexdigest()


def folding_order(events: Sequence[Event]) -> list[Event]:
    """Return events in order of arrival, each device's own in the order in which that device counted them.

    An event sent late takes a place that its device holds already, so events of other devices stay where they are.
    """
    ordered, places = list(events), defaultdict(list)
    for place, event in enumerate(ordered):
        if event.device_seq > 0:
            places[event.device].append(place)
    for held in places.values():
        counted = sorted((ordered[place] for place in held), key=lambda event: event.device_seq)
        for place, event in zip(held, counted, strict=True):
            ordered[place] = event
    return ordered
