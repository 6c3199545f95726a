import random

from hypothesis import given
from hypothesis import strategies as st
from tests.work import calls

from knowngood.store.event import Event
from knowngood.store.folds import (
    JobState,
    PhonesState,
    ToolboxState,
    VehicleState,
    fold_job,
    fold_phones,
    fold_toolbox,
    fold_vehicle,
)

WHEN = "2026-05-04T10:00:00+00:00"
DATA = {
    "job_opened": {"vehicle": "v", "title": "t", "sheet": "first", "sheet_file": "f", "scope": []},
    "sheet_revised": {"sheet": "second"},
    "planned": {"order": ["a", "b"]},
    "started": {},
    "finished": {"words": ""},
    "step_done": {"step": "a", "round": 1},
    "step_put_off": {"step": "a", "why": "bolt will not move"},
    "reading_judged": {"limit": "coil", "judgement": {"verdict": "within limits"}},
    "reading_attached": {"reading": "0000beef", "limit": "coil", "data": {"typed": "90 ohm", "limit": None}},
    "bolts_signed": {"fastener": "drain_plug", "exceptions": None},
    "fluid_moved": {"circuit": "oil", "litre": 4.6},
    "decided": {"decision": "belt", "choice": "leave"},
    "paid": {"what": "filter", "amount": 12.5},
    "watch_opened": {"what": "seep", "until": "next time"},
    "noted": {"text": "words", "step": None},
    "photo_kept": {"photo": "0.jpg"},
    "overruled": {"code": "c", "reason": "r"},
    "kit_got": {"part": "filter"},
    "answered": {"ask": "plug", "typed": "25 N·m", "answer": "25 N·m"},
    "towed": {"where": "home"},
}


def _event(number, kind, **data):
    return Event.new(
        id=f"{number:08x}", stream="job/a", kind=kind, device="phone", device_seq=number + 1,
        happened=WHEN, recorded=WHEN, data={**DATA.get(kind, {}), **data},
    )  # fmt: skip


def _job(*events):
    return fold_job(JobState(), events)


def _ids(events):
    return [int(event.id, 16) for event in events]


def _seen(state):
    """All that a state says, in order."""
    return {
        name: getattr(state, name)
        for one in type(state).__mro__
        for name in vars(one)
        if not name.startswith("_") and name not in ("kept", "newest", "entries", "KINDS")
    }


LISTS = {
    "done": "step_done", "put_off": "step_put_off", "readings": "reading_judged", "bolts": "bolts_signed",
    "fluids": "fluid_moved", "decisions": "decided", "paid": "paid", "notes": "noted", "photos": "photo_kept",
    "watches": "watch_opened", "overruled": "overruled", "kit": "kit_got", "unknown": "towed",
    "attached": "reading_attached",
}  # fmt: skip
SINGLE = {"opened": "job_opened", "planned": "planned", "started": "started", "finished": "finished"}


def test_each_kind_is_found_under_its_name_and_gone_when_withdrawn():
    for name, kind in LISTS.items():
        event = _event(1, kind)
        assert getattr(_job(event), name) == [event]
        assert getattr(_job(event, _event(2, "withdrawn", id=event.id)), name) == []


def test_each_single_thing_is_none_until_it_happens_and_after_it_is_withdrawn():
    for name, kind in SINGLE.items():
        event = _event(1, kind)
        assert getattr(_job(), name) is None
        assert getattr(_job(event), name) == event
        assert getattr(_job(event, _event(2, "withdrawn", id=event.id)), name) is None


def test_the_newest_sheet_counts():
    opened, revised = _event(1, "job_opened"), _event(2, "sheet_revised")
    assert _job().sheet == ""
    assert _job(opened).sheet == "first"
    assert _job(opened, revised).sheet == "second"
    assert _job(opened, revised, _event(3, "withdrawn", id=revised.id)).sheet == "first"


def test_the_newest_plan_counts_and_the_first_opening():
    state = _job(_event(1, "job_opened"), _event(2, "job_opened"), _event(3, "planned"), _event(4, "planned"))
    assert _ids([state.opened, state.planned]) == [1, 4]


def test_steps_done_stay_in_order_once_for_each_round():
    assert _ids(_job(_event(1, "step_done"), _event(2, "noted"), _event(3, "step_done", round=2)).done) == [1, 3]


def test_the_newest_word_on_a_step_and_on_a_decision():
    state = _job(
        _event(1, "step_put_off"), _event(2, "step_put_off", why="rain"), _event(3, "step_put_off", step="b"),
        _event(4, "decided"), _event(5, "decided", choice="renew"),
    )  # fmt: skip
    assert [event.data["why"] for event in state.put_off] == ["rain", "bolt will not move"]
    assert [event.data["choice"] for event in state.decisions] == ["renew"]


def test_taking_back_the_newest_word_brings_back_the_one_before():
    said = [_event(1, "answered"), _event(2, "answered", typed="", answer=None)]
    assert _job(*said).newest("answered", "ask")["plug"].data["answer"] is None
    taken_back = _job(*said, _event(3, "withdrawn", id="00000002"))
    assert taken_back.newest("answered", "ask")["plug"].data["answer"] == "25 N·m"


def test_an_attached_reading_is_told_as_a_copy_with_the_limit_of_the_job():
    judged, attached = _event(2, "reading_judged"), _event(1, "reading_attached")
    state = _job(attached, judged)
    assert _ids(state.readings) == [1, 2]
    assert state.readings[0].data == {"typed": "90 ohm", "limit": "coil"}
    assert state.attached == [attached]


def test_what_an_entry_brought_along_goes_with_it():
    done, bolts = _event(1, "step_done"), _event(2, "bolts_signed", **{"with": "00000001"})
    state = _job(done, bolts, _event(3, "withdrawn", id="00000001"))
    assert (state.done, state.bolts) == ([], [])
    assert state.withdrawn_events == [done]


def test_a_withdrawal_can_be_withdrawn():
    done, back, forth = (
        _event(1, "step_done"),
        _event(2, "withdrawn", id="00000001"),
        _event(3, "withdrawn", id="00000002"),
    )
    assert _job(done, back).done == []
    assert _job(done, back, forth).done == [done]
    assert _job(done, back, forth).withdrawn_events == [back]
    assert _job(done, back, forth, _event(4, "withdrawn", id="00000003")).done == []


def test_withdrawals_in_a_ring_come_to_an_end():
    state = _job(_event(1, "withdrawn", id="00000002"), _event(2, "withdrawn", id="00000001"), _event(3, "noted"))
    assert _ids(state.notes) == [3]


def test_a_withdrawal_of_something_not_here_yet_names_nothing():
    assert _job(_event(1, "withdrawn", id="0000beef")).withdrawn_events == []


def test_the_toolbox():
    kinds = ("instrument_added", "wrench_added", "tool_added", "reading_judged", "noted", "towed")
    state = fold_toolbox(ToolboxState(), [_event(number, kind, name="n") for number, kind in enumerate(kinds)])
    found = [state.instruments, state.wrenches, state.tools, state.readings, state.notes, state.unknown]
    assert [_ids(one) for one in found] == [[0], [1], [2], [3], [4], [5]]


def test_phones_are_paired_until_they_are_dropped_whichever_arrives_first():
    paired, dropped = _event(1, "phone_paired", name="Phone"), _event(2, "withdrawn", id="00000001")
    other, strange = _event(3, "phone_paired", name="Tablet"), _event(4, "towed")
    for events in ([paired, dropped, other, strange], [dropped, other, paired, strange]):
        state = fold_phones(PhonesState(), events)
        assert [_ids(one) for one in (state.paired, state.unknown)] == [[3], [4]]


def test_a_vehicle_nobody_has_described():
    state = VehicleState()
    assert (state.name, state.text, state.driven, state.odometer_km) == ("", "", None, None)


def test_a_vehicle_described_twice_keeps_what_the_second_leaves_out():
    said = [
        _event(1, "vehicle_named", name="Tavrick"),
        _event(2, "described", text="estate", odometer_km=182_000.0, driven="front"),
        _event(3, "described", text="", odometer_km=183_500.0, driven=None),
        _event(4, "answered"),
    ]
    state = fold_vehicle(VehicleState(), said)
    assert (state.name, state.text, state.driven, state.odometer_km) == ("Tavrick", "estate", "front", 183_500.0)
    assert fold_vehicle(state, [_event(5, "withdrawn", id="00000003")]).odometer_km == 182_000.0


@st.composite
def histories(draw):
    """Events of all kinds, withdrawals of any of them, and things that came along."""
    kinds = draw(st.lists(st.sampled_from([*DATA, "withdrawn", "withdrawn"]), max_size=25))
    made = []
    for number, kind in enumerate(kinds):
        target = f"{draw(st.integers(0, len(kinds))):08x}"
        if kind == "withdrawn":
            made.append(_event(number, kind, id=target))
        else:
            along = {"with": target} if draw(st.booleans()) else {}
            made.append(_event(number, kind, **along))
    return made


@given(histories(), st.lists(st.integers(0, 25), max_size=4))
def test_folding_bit_by_bit_is_folding_at_once(events, cuts):
    state, before = JobState(), 0
    for cut in [*sorted(cuts), len(events)]:
        state, before = fold_job(state, events[before:cut]), max(before, cut)
        _seen(state)
    assert _seen(state) == _seen(_job(*events))
    assert state == _job(*events)


@given(histories(), st.randoms(use_true_random=False))
def test_it_does_not_matter_when_a_withdrawal_arrives(events, rng: random.Random):
    rest = [event for event in events if event.kind != "withdrawn"]
    for event in events:
        if event.kind == "withdrawn":
            rest.insert(rng.randint(0, len(rest)), event)
    without = [event for event in _job(*events).withdrawn_events if event.kind != "withdrawn"]
    seen, expected = _seen(_job(*rest)), _seen(_job(*events))
    assert [event for event in seen.pop("withdrawn_events") if event.kind != "withdrawn"] == without
    del expected["withdrawn_events"]
    assert seen == expected


@given(histories(), st.data())
def test_an_event_twice_does_nothing(events, data):
    again = data.draw(st.lists(st.sampled_from(events))) if events else []
    assert _seen(_job(*events, *again)) == _seen(_job(*events))


@given(histories())
def test_a_fold_leaves_the_state_before_alone(events):
    before = _job(*events[:10])
    seen = _seen(before)
    fold_job(before, events[10:])
    assert _seen(before) == seen == _seen(_job(*events[:10]))


def test_a_job_of_twice_the_length_is_folded_with_twice_the_work():
    """Some nine calls an event, and so a long job of a hundred thousand within a second."""

    def work(count):
        events = [_event(number, ("step_done", "noted")[number % 2]) for number in range(count)]

        def fold():
            state = _job(*events)
            assert len(state.done) + len(state.notes) == count

        return calls(fold)

    assert work(8000) <= 2.05 * work(4000) <= 2.05 * 12 * 4000


def _counted(number, device_seq, **data):
    return Event.new(
        id=f"{number:032x}", stream="job/a", kind="decided", device="phone", device_seq=device_seq,
        happened="2026-11-21T12:00:00+00:00", recorded="2026-11-21T12:00:00+00:00", data=data,
    )  # fmt: skip


def test_an_event_that_a_device_sends_late_is_folded_at_its_own_place():
    first, last = (_counted(n, n, decision="seal", choice=choice) for n, choice in ((1, "keep"), (3, "renew")))
    late = _counted(2, 2, decision="seal", choice="late")
    bit_by_bit = fold_job(fold_job(JobState(), [first, last]), [late])
    assert list(bit_by_bit.entries) == list(fold_job(JobState(), [first, last, late]).entries)
    assert [event.data["choice"] for event in bit_by_bit.decisions] == ["renew"]


def test_a_newer_version_of_a_kind_is_unknown_and_kept():
    newer = Event.new(
        id="9" * 32, stream="job/a", kind="decided", device="phone", device_seq=1, version=2,
        happened="2026-11-21T12:00:00+00:00", recorded="2026-11-21T12:00:00+00:00", data={"other": "shape"},
    )  # fmt: skip
    state = fold_job(JobState(), [newer])
    assert state.decisions == []
    assert state.unknown == [newer]
