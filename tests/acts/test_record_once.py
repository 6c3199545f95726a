"""What is entered at the same moment, twice, or for what is there already: decided once, and nothing typed dropped."""

import sqlite3
import subprocess
import sys
import threading
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest
from tests.acts.press_child import DONE
from tests.garages import giving
from tests.refusing import refused

from knowngood.acts.record import take as taking
from knowngood.acts.record.entries import NEW_JOB, NEW_VEHICLE, Entry
from knowngood.acts.record.take import TAKEN, take
from knowngood.refusal import Refused
from knowngood.store.event import Event

JOB = "job/runs-hot"
CHILD = Path(__file__).with_name("press_child.py")
ALREADY = "was written down already. Undo it first, then write it with what you add."


def gone_in(garage):
    """How often coolant was filled in, and how much in all."""
    moved = [event.data["litre"] for event in garage.job("runs-hot").state.fluids if event.data["way"] == "in"]
    return len(moved), sum(moved)


def pressed(garage, number, said):
    try:
        take(garage, Entry(f"{number:032x}", JOB, "step_done", DONE, device=f"phone {number}"))
        said.append("kept")
    except Refused as no:
        said.append(no.problems[""])


def test_two_phones_that_both_decide_before_either_writes_are_kept_once(demo_garage, monkeypatch):
    decide, both, calls = taking.JOB["step_done"], threading.Barrier(2, timeout=60), iter(range(9))

    def together(garage, entry):
        drafts = decide(garage, entry)
        if next(calls) < 2:  # the second one decides anew when it finds that the first was quicker
            both.wait()
        return drafts

    monkeypatch.setattr(taking, "HANDLERS", {"job": {"step_done": together}})
    said = []
    phones = [threading.Thread(target=pressed, args=(demo_garage, number, said)) for number in (1, 2)]
    for phone in phones:
        phone.start()
    for phone in phones:
        phone.join()
    assert sorted(words[-len(ALREADY) :] for words in said) == ["kept", ALREADY]
    assert gone_in(demo_garage) == (1, 4.6)


def test_two_programs_on_one_garage_keep_a_step_once(demo_garage):
    command = [sys.executable, str(CHILD), str(demo_garage.folder)]
    pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE, "text": True}
    with subprocess.Popen(command, **pipes) as one, subprocess.Popen(command, **pipes) as other:
        for child in (one, other):
            assert child.stdout.readline() == "ready\n"
        for round_ in range(8):
            for number, child in enumerate((one, other)):
                child.stdin.write(f"{2 * round_ + number + 1:032x}\n")
            for child in (one, other):
                child.stdin.flush()
            answers = sorted(child.stdout.readline().strip()[-len(ALREADY) :] for child in (one, other))
            assert answers == ["kept", ALREADY]
            assert gone_in(demo_garage) == (1, 4.6)
            (done,) = [one for one in demo_garage.job("runs-hot").state.done if one.data["step"] == "refill"]
            take(demo_garage, Entry(f"{900 + round_:032x}", JOB, "withdrawn", {"event": done.id}))
        for child in (one, other):
            child.stdin.close()


def test_a_retry_that_meets_its_first_try_is_answered_as_that(demo_garage, monkeypatch):
    """The first try is kept while the second decides."""
    decide, entry = taking.JOB["paid"], Entry("a" * 32, JOB, "paid", {"what": "rag", "amount": "2"})
    first = []

    def slowly(garage, again):
        if not first:
            first.append([])
            first[0] = take(garage, entry)
        return decide(garage, again)

    monkeypatch.setattr(taking, "HANDLERS", {"job": {"paid": slowly}})
    assert take(demo_garage, entry) == first[0]
    assert [event.data["what"] for event in demo_garage.job("runs-hot").state.paid].count("rag") == 1


def test_what_is_never_left_alone_is_decided_with_all_others_waiting(demo_garage, monkeypatch):
    decide, notes, others = taking.JOB["paid"], giving(demo_garage, JOB), []

    def disturbed(garage, entry):
        drafts = decide(garage, entry)
        if len(others) < taking.TRIES:
            others.append(notes("noted", text=f"note {len(others)}"))
        else:  # nobody else is let in
            elsewhere = sqlite3.connect(garage.folder / "garage.sqlite3", timeout=0)
            with closing(elsewhere), pytest.raises(sqlite3.OperationalError, match="locked"):
                elsewhere.execute("BEGIN IMMEDIATE")
            others.append("locked")
        return drafts

    monkeypatch.setattr(taking, "HANDLERS", {"job": {**taking.JOB, "paid": disturbed}})
    (paid,) = take(demo_garage, Entry("a" * 32, JOB, "paid", {"what": "rag", "amount": "2"}))
    assert others[-1] == "locked"
    assert paid.seq == demo_garage.store.newest_seq()


def test_the_same_id_with_other_words_is_refused_and_may_be_sent_anew(demo_garage):
    def note(number, words, stream=JOB):
        return take(demo_garage, Entry(f"{number:032x}", stream, "noted", {"text": words}))

    first = note(1, "A")
    assert note(1, "A") == first
    assert refused(note, 1, "B") == refused(note, 1, "A", "toolbox") == {"": TAKEN}
    note(2, "B")
    assert [event.data["text"] for event in demo_garage.job("runs-hot").state.notes][-2:] == ["A", "B"]


def test_what_an_older_program_kept_is_known_by_its_kind_and_place(demo_garage):
    now = demo_garage.now()
    kept = Event.new(
        id="f" * 32, stream=JOB, kind="noted", device="d", device_seq=1, happened=now, recorded=now,
        data={"text": "old", "step": None},
    )  # fmt: skip
    demo_garage.store.append([kept])
    assert [one.id for one in take(demo_garage, Entry("f" * 32, JOB, "noted", {"text": "old"}))] == ["f" * 32]
    paid = Entry("f" * 32, JOB, "paid", {"what": "rag", "amount": "2"})
    assert refused(take, demo_garage, paid) == {"": TAKEN}


def test_each_new_thing_is_one_of_its_own_and_a_retry_makes_no_other(garage):
    def new(number, name):
        return take(garage, Entry(f"{number:032x}", NEW_VEHICLE, "vehicle_named", {"name": name}))

    for _ in range(2):
        new(1, "Alpha van")
        new(2, "Beta bus")
    assert [one.name for one in garage.vehicles().values()] == ["Alpha van", "Beta bus"]
    vehicle = next(iter(garage.vehicles()))
    opened = {"vehicle": vehicle, "library": "runs_hot", "scope": "look"}
    for number in (3, 4, 3):
        take(garage, Entry(f"{number:032x}", NEW_JOB, "job_opened", opened))
    assert len(garage.jobs()) == 2


OPENINGS = [
    ("vehicle_named", "vehicle/tavrick", {"name": "Other"}, "vehicle"),
    ("job_opened", JOB, {"vehicle": "tavrick", "library": "automatic_gearbox"}, "job"),
]


@pytest.mark.parametrize(("kind", "stream", "fields", "thing"), OPENINGS)
def test_what_is_there_is_not_begun_again(demo_garage, kind, stream, fields, thing):
    before = demo_garage.store.events(stream)
    words = refused(giving(demo_garage), kind, stream, **fields)[""]
    assert words == f"This {thing} is in the garage already. Reload the page, then enter another one."
    assert demo_garage.store.events(stream) == before


@pytest.mark.parametrize(
    ("kind", "stream"),
    [(kind, f"{thing}/nobody") for thing in ("vehicle", "job") for kind in sorted(taking.HANDLERS[thing])],
)
def test_nothing_is_said_of_what_is_not_there(demo_garage, kind, stream):
    if kind in taking.OPENS.values():
        return
    thing = stream.partition("/")[0]
    words = refused(giving(demo_garage), kind, stream, name="N", text="words", event="1" * 32)
    assert words == {"": f'There is no {thing} "nobody" in this garage. Look on the Bench which there are.'}


@pytest.mark.parametrize(("kind", "stream"), [(kind, stream) for kind, stream, _, _ in OPENINGS])
def test_a_beginning_is_not_taken_back(demo_garage, kind, stream):
    (opening,) = [event for event in demo_garage.store.events(stream) if event.kind == kind]
    words = refused(giving(demo_garage), "withdrawn", stream, event=opening.id)
    assert words == {"": "A vehicle or job that was begun stays in the garage. Rename it, or finish it in the Book."}


def test_a_vehicle_is_renamed_and_the_new_name_taken_back(demo_garage):
    give = giving(demo_garage)
    (renamed,) = give("vehicle_renamed", "vehicle/tavrick", name="Old faithful")
    assert demo_garage.vehicle("tavrick").name == "Old faithful"
    give("withdrawn", "vehicle/tavrick", event=renamed.id)
    assert demo_garage.vehicle("tavrick").name == "Ondrelle Tavrick"


def older(garage, number, stream, kind, **data):
    """What an older program would have kept."""
    now = garage.now()
    event = Event.new(
        id=f"{number:032x}", stream=stream, kind=kind, device="old", device_seq=0, happened=data.pop("happened", now),
        recorded=now, data=data,
    )  # fmt: skip
    garage.store.append([event])


def test_a_second_naming_by_an_older_program_is_read_as_a_new_name(demo_garage):
    older(demo_garage, 1, "vehicle/tavrick", "vehicle_named", name="Blue one")
    assert demo_garage.vehicle("tavrick").name == "Blue one"
    assert demo_garage.vehicle("tavrick").unknown == []


def test_a_job_that_an_older_program_opened_twice_keeps_its_first_sheet(demo_garage):
    before = demo_garage.job("runs-hot").state.sheet
    older(demo_garage, 1, JOB, "job_opened", vehicle="tavrick", sheet="sheet: 1", title="T", sheet_file="f", scope=[])
    job = demo_garage.job("runs-hot")
    assert job.state.sheet == before
    assert job.run.now.id == "measure_coil"


NO_TIMES = {
    "words": "garbage",
    "late": "9999-12-31T23:59:59Z",
    "early": "0002-01-01T00:00:00Z",
    "no day": "2026-04-31T10:00:00Z",
    "no zone": "2026-05-04T10:00:00",
    "endless": "9" * 900_000,
}


@pytest.mark.parametrize("happened", NO_TIMES.values(), ids=NO_TIMES)
def test_a_time_that_is_none_is_refused_and_read_as_when_it_came(demo_garage, happened):
    give = giving(demo_garage, "vehicle/tavrick")
    words = refused(give, "described", happened=happened, odometer="90000")[""]
    assert words.startswith("This device says that it is ")
    assert words.endswith("Set its clock, then send this again.")
    assert len(words) < 150
    older(demo_garage, 9, "vehicle/tavrick", "described", text="", odometer_km=1.0, driven=None, happened=happened)
    assert demo_garage.store.events("vehicle/tavrick")[-1].happened == demo_garage.now()


@pytest.mark.parametrize("happened", ["1970-01-01T00:00:03.000Z", "2026-11-21T13:00+01:00"])
def test_a_clock_that_is_merely_wrong_is_taken(demo_garage, happened):
    (note,) = giving(demo_garage)("noted", JOB, text="x", happened=happened)
    assert note.happened == happened
    assert datetime.fromisoformat(note.happened).astimezone(UTC)


def test_a_device_with_an_endless_name_is_refused(demo_garage):
    words = refused(giving(demo_garage), "noted", JOB, text="x", device="d" * 900_000)
    assert words == {"": "This device calls itself by more than 100 letters. Reload the page."}
