"""States are folded once: kept until something new arrives, never from what was undone, the same from any thread."""

from concurrent.futures import ThreadPoolExecutor

import pytest
from tests.garages import giving, opened

from knowngood.acts.job.states_kept import AT_MOST, StatesKept
from knowngood.acts.record.entries import Entry
from knowngood.acts.record.take import take


@pytest.fixture
def give(garage):
    return giving(garage)


def test_nothing_is_folded_twice_until_something_new_arrives(garage, give, monkeypatch):
    give("tool_added", name="torch")
    seen, read = [], garage.store.events
    monkeypatch.setattr(
        garage.store, "events", lambda stream, after_seq=0: seen.append(after_seq) or read(stream, after_seq=after_seq)
    )
    first = garage.toolbox()
    assert garage.toolbox() is first
    assert seen == [0]
    give("tool_added", name="jack")
    assert [event.data["name"] for event in garage.toolbox().tools] == ["torch", "jack"]
    assert seen[1:] == [first.tools[0].seq]  # only what is new was read


def test_another_programs_entry_is_seen(garage, give):
    give("tool_added", name="torch")
    assert len(garage.toolbox().tools) == 1
    with opened(garage.folder) as other:
        take(other, Entry("f" * 32, "toolbox", "wrench_added", {"name": "small", "range": "5..25 N·m"}, "other", 0, ""))
    assert len(garage.toolbox().wrenches) == 1


class Undone(Exception):
    pass


def test_what_was_undone_is_not_kept(garage, give):
    give("vehicle_named", "vehicle/own", name="Own")

    def rename_and_undo():
        with garage.store.transaction():
            give("vehicle_renamed", "vehicle/own", name="Other")
            assert garage.vehicle("own").name == "Other"
            raise Undone

    with pytest.raises(Undone):
        rename_and_undo()
    assert garage.vehicle("own").name == "Own"
    give("tool_added", name="takes the same place in the table")
    assert garage.vehicle("own").name == "Own"


def test_a_job_is_made_once_and_anew_when_its_vehicle_learns_something(garage, give):
    give("vehicle_named", "vehicle/own", name="Own")
    give("job_opened", "job/one", vehicle="own", library="runs_hot")
    first = garage.job("one")
    assert garage.job("one") is first
    give("vehicle_renamed", "vehicle/own", name="Renamed")
    assert garage.job("one").vehicle.name == "Renamed"


def test_threads_see_what_was_there_when_they_asked(garage, give):
    with ThreadPoolExecutor(4) as pool:
        looked = [pool.submit(lambda: len(garage.toolbox().tools)) for _ in range(40)]
        for number in range(10):
            give("tool_added", name=f"tool {number}")
            assert len(garage.toolbox().tools) == number + 1
    assert all(0 <= one.result() <= 10 for one in looked)


def test_only_so_many_are_kept_and_the_others_are_read_again(garage, give):
    for number in range(AT_MOST + 3):
        give("vehicle_named", f"vehicle/v{number}", name=f"Name {number}")
    kept = StatesKept(garage.store)
    assert [kept.vehicle(f"v{number}").name for number in (0, AT_MOST + 2, 0)] == [
        "Name 0", f"Name {AT_MOST + 2}", "Name 0",
    ]  # fmt: skip
    for number in range(AT_MOST + 3):
        kept.vehicle(f"v{number}")
    assert len(kept._states) == AT_MOST
    assert kept.vehicle("v0").name == "Name 0"
