"""A row of the table of events, and what was meant by it: an event as it was kept, or damage and its words."""

import hashlib
import json
import re
from dataclasses import dataclass

from knowngood.store.event import Event, canonical_json, digest_of, is_moment
from knowngood.store.moment import day_of
from knowngood.words import day_words

COLUMNS = "id, stream, kind, version, device, device_seq, happened, recorded, data, digest"
Row = tuple[object, ...]  # seq and the columns, text as bytes
KIND = re.compile(r"[a-z_]{1,40}")
# What `digest_of` says behind the data, where no sign in it needs to be escaped.
SAID = (
    b',"device":"%b","device_seq":%d,"happened":"%b","id":"%b","kind":"%b","recorded":"%b","stream":"%b","version":%d}'
)
QUOTES = SAID.count(b'"')
REMEDY = "Put back your last copy of the whole folder, and keep this one beside it. All else is as it was entered."


@dataclass(frozen=True)
class Damage:
    """What is not as it was entered, and so left out.

    Args:
        seq: Where it stands, or where it begins.
        stream: Where it belongs, as far as that can still be read.
        words: What is wrong, as one sentence.
    """

    seq: int
    stream: str
    words: str


def values(event: Event) -> tuple[object, ...]:
    """Return the columns of an event."""
    head = (event.id, event.stream, event.kind, event.version, event.device, event.device_seq)
    return (*head, event.happened, event.recorded, canonical_json(event.data), event.digest)


def read(row: Row) -> Event | Damage:
    """Return the event of a row as it was kept, or damage when the row does not say what its digest was made of."""
    if damage := damage_of(row):
        return damage
    seq, id, stream, kind, version, device, device_seq, happened, recorded, data, digest = map(_plain, row)
    head = (seq, id, stream, kind, version, device, device_seq, happened, recorded)
    return Event(*head, data=json.loads(data), digest=digest)  # type: ignore[arg-type]


def damage_of(row: Row) -> Damage | None:
    """Return what is wrong with a row; None when it is sound. Its data is not decoded."""
    if _is_plainly_sound(row):
        return None
    seq, id, stream, kind, version, device, device_seq, happened, recorded, data, digest = map(_plain, row)
    said = digest_of(id, stream, kind, version, device, device_seq, happened, recorded, data)  # type: ignore[arg-type]
    if said == digest:
        return None
    when, what = str(recorded), str(kind)
    day = f" of {day_words(day_of(when, None))}" if is_moment(when) else ""
    named = f' ("{what.replace("_", " ")}")' if KIND.fullmatch(what) else ""
    return Damage(int(seq), str(stream), f"An entry{day}{named} is damaged and left out.")  # type: ignore[call-overload]


def _is_plainly_sound(row: Row) -> bool:
    """Sound, and in no column but its data a sign that JSON writes in another way; so are most, and it is quick."""
    _, id, stream, kind, version, device, device_seq, happened, recorded, data, digest = row
    if type(version) is not int or type(device_seq) is not int:
        return False
    words = (device, device_seq, happened, id, kind, recorded, stream, version)
    try:
        head = SAID % words
    except TypeError:  # no text in a place for text
        return False
    if b"\\" in head or head.count(b'"') != QUOTES or not isinstance(data, bytes):
        return False
    return hashlib.sha256(b'{"data":' + data + head).hexdigest().encode() == digest


def missing(first: int, last: int) -> Damage:
    """Return the words for events that are not there: their numbers follow each other without a gap."""
    several = f"The entries number {first} to {last} are missing."
    return Damage(first, "", f"Entry number {first} is missing." if first == last else several)


def _plain(value: object) -> object:
    """Text as text. Where its bytes are none, or something else stands in its place, no digest is met any more."""
    return value.decode(errors="replace") if isinstance(value, bytes) else value if isinstance(value, int) else ""
