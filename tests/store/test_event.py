import hashlib
import json

import pytest

from knowngood.store.errors import StoreError
from knowngood.store.event import Event, canonical_json, folding_order, garage_digest

WHEN = "2026-05-04T10:00:00+00:00"


def _event(id="00000001", *, device="phone", device_seq=0, data=None):
    return Event.new(
        id=id, stream="job/a", kind="noted", device=device, device_seq=device_seq,
        happened=WHEN, recorded=WHEN, data=data or {"text": "Ω"},
    )  # fmt: skip


def test_canonical_json_has_one_form():
    assert canonical_json({"b": [1, 2.5], "a": {"z": None, "y": "µ"}}) == '{"a":{"y":"µ","z":null},"b":[1,2.5]}'


def test_canonical_json_takes_no_nan():
    with pytest.raises(ValueError, match="Out of range float values are not JSON compliant"):
        canonical_json({"a": float("nan")})


def test_digest_is_that_of_everything_but_the_order_of_arrival():
    event = _event()
    said = {
        "id": "00000001", "stream": "job/a", "kind": "noted", "version": 1, "device": "phone", "device_seq": 0,
        "happened": WHEN, "recorded": WHEN, "data": {"text": "Ω"},
    }  # fmt: skip
    written = json.dumps(said, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    assert event.digest == hashlib.sha256(written.encode("utf-8")).hexdigest()
    assert event.digest == event.computed_digest()


@pytest.mark.parametrize("id", ["0000001", "0" * 65, "0000000G", "../../../etc", "0000000A", "00000001\n"])
def test_an_id_of_another_form_is_refused(id):
    with pytest.raises(StoreError) as refused:
        _event(id)
    assert str(refused.value) == f'"{id}" is not an id: 8 to 64 of 0-9, a-f and "-". Reload the page and send it again.'


def test_garage_digest_does_not_depend_on_order():
    one, two = _event("00000001"), _event("00000002")
    assert garage_digest([two, one]) == garage_digest([one, two])
    assert garage_digest([one, two]) == hashlib.sha256(b"00000001\n00000002").hexdigest()
    assert garage_digest([one]) != garage_digest([one, two])


def _order(*rows):
    events = [_event(f"{place:08x}", device=device, device_seq=seq) for place, (device, seq) in enumerate(rows)]
    return [(event.device, event.device_seq) for event in folding_order(events)]


def test_a_device_is_read_in_its_own_count_in_the_places_it_holds():
    assert _order(("a", 3), ("b", 1), ("a", 1), ("a", 2)) == [("a", 1), ("b", 1), ("a", 2), ("a", 3)]


def test_a_device_that_does_not_count_keeps_the_order_of_arrival():
    events = [_event("00000002"), _event("00000001"), _event("00000003")]
    assert folding_order(events) == events


def test_equal_counts_keep_the_order_of_arrival():
    events = [_event(id, device_seq=4) for id in ("00000002", "00000001", "00000003")]
    assert folding_order(events) == events


def test_an_uncounted_event_keeps_its_place_between_counted_ones():
    assert _order(("a", 2), ("a", 0), ("a", 1)) == [("a", 1), ("a", 0), ("a", 2)]
