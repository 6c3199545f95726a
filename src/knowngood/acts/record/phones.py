"""Phones that may see the garage: pairing one, and dropping it."""

from knowngood.acts.job.garage import Garage
from knowngood.acts.record.entries import Draft, Entry
from knowngood.acts.record.rest import Handlers
from knowngood.refusal import Refused
from knowngood.store.event import Event


def pair(garage: Garage, phone_id: str, *, name: str, key_sha256: str) -> Event:
    """Keep that a phone is paired; of its secret only the hash is kept.

    Raises:
        StoreError: It cannot be kept; the phone is not paired.
    """
    now = garage.now()
    paired = Event.new(
        id=phone_id,
        stream="phones",
        kind="phone_paired",
        device="this computer",
        device_seq=0,
        happened=now,
        recorded=now,
        data={"name": name, "key_sha256": key_sha256},
    )
    return garage.store.append([paired])[0]


def _dropped(garage: Garage, entry: Entry) -> list[Draft]:
    """Drop a phone; once dropped it is out for good, and must be paired anew."""
    target = entry.needed("event", "which phone")
    if all(one.id != target for one in garage.phones().paired):
        raise Refused({"": "That phone is not paired any more, so there is nothing to drop. Reload the page."})
    return [Draft("withdrawn", {"id": target})]


PHONES: Handlers = {"withdrawn": _dropped}
