from dataclasses import replace

import pytest

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


def _old(kind, **data):
    return lifted(replace(_paid(kind=kind), data=data))


def test_an_answer_of_the_first_shape_does_not_know_its_sheet():
    event = _old("answered", ask="plug", typed="25 N·m", answer="25 N·m", **{"with": "00000001"})
    assert event.version == 2
    assert event.data == {
        "ask": "plug", "typed": "25 N·m", "answer": "25 N·m", "with": "00000001", "sheet": None, "question": None,
        "kind": None, "same_as": None, "job": None, "confirms": None,
    }  # fmt: skip


@pytest.mark.parametrize(
    ("message", "said"),
    [
        ('brakes.yaml:12: step "close": tightens "bolt: M8".', 'step "close": tightens "bolt: M8".'),
        ("my own: sheet.yaml:3: words", "words"),
        ("no line in it", "no line in it"),
        ("x.yaml:1: see y.yaml:2: words", "see y.yaml:2: words"),
    ],
)
def test_an_overruling_of_the_first_shape_knows_what_was_said_and_no_place(message, said):
    event = _old("overruled", code="no torque", step="close", message=message, reason="r")
    assert (event.version, event.data["place"], event.data["said"]) == (2, None, said)
    assert event.data["message"] == message
