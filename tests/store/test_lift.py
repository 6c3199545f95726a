from knowngood.store.event import Event
from knowngood.store.lift import lifted

TABLE = {
    ("paid", 1): lambda data: {**data, "currency": None},
    ("paid", 2): lambda data: {**data, "amount": data["amount"] / 100},
}


def _paid(version=1, kind="paid"):
    when = "2026-05-04T10:00:00+00:00"
    return Event.new(
        id="00000001", stream="job/a", kind=kind, device="phone", device_seq=0,
        happened=when, recorded=when, data={"amount": 450}, version=version,
    )  # fmt: skip


def test_an_old_event_is_lifted_step_by_step():
    event = lifted(_paid(), TABLE)
    assert (event.version, event.data) == (3, {"amount": 4.5, "currency": None})


def test_lifting_leaves_what_was_stored_alone():
    stored = _paid()
    assert lifted(stored, TABLE).digest == stored.digest
    assert stored.data == {"amount": 450}
    assert lifted(stored, TABLE).computed_digest() != stored.digest


def test_a_step_in_the_middle_starts_there():
    assert lifted(_paid(2), TABLE).data == {"amount": 4.5}


def test_a_kind_without_a_lift_is_kept_as_it_is():
    unknown = _paid(kind="towed")
    assert lifted(unknown, TABLE) is unknown
