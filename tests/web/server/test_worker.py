"""Better plans beside the requests: the first answer at once, better ones as they come, nothing left running."""

from threading import Event

import pytest
from tests.patience import LONGEST_S

from knowngood.acts.faults.firm import Firm
from knowngood.acts.faults.plan import known_plan, plan_of
from knowngood.acts.faults.suspects import suspected_of
from knowngood.sheet.reader import read
from knowngood.web.server import worker as worker_module
from knowngood.web.server.worker import Worker

# A sheet that no other test plans, for plans are kept for all.
SHEET = """
sheet: 1
id: no_start
title: No start
start: [parked]
end: [parked]
suspects: [Relay, Pump, Ground]
tests:
  click: {name: Clicks, shows: {suspect_1: 7 of 10}, minutes: "MINUTES min"}
repairs:
  swap: {name: New relay, fixes: [suspect_1], money: 41}
  fit: {name: New pump, fixes: [suspect_2], money: 93}
quote: {money: 317}
steps:
  - {id: look, do: "Look", zone: top, time: "1 2 3 min"}
"""


def found(minutes):
    return suspected_of(read(SHEET.replace("MINUTES", str(minutes)), file="no_start.yaml").sheet)


@pytest.fixture
def worker():
    made = Worker()
    yield made
    made.stop()


def settle(worker, asked):
    """Look again and again, as a page does, until nothing is left to do."""
    worker.look("own", asked)
    while worker.is_looking("own"):
        wait(worker)
        worker.look("own", asked)


def wait(worker):
    """Until what was looked for is done: the thread has ended by itself."""
    while (thread := worker._thread) is not None:
        thread.join(LONGEST_S)
        assert not thread.is_alive()


def test_it_finds_the_best_plan_keeps_it_and_ends_by_itself(worker):
    asked = found(11)
    at_once = plan_of(asked, budget=1)
    settle(worker, asked)
    assert known_plan(asked).exact
    assert known_plan(asked).expected_cost <= at_once.expected_cost
    assert not worker.is_looking("own")
    assert worker.firm(asked).settled
    assert worker.firm(asked).ranges


def test_what_was_settled_starts_no_thread_again(worker):
    asked = found(12)
    settle(worker, asked)
    worker.look("own", asked)
    assert worker._thread is None


def test_when_nobody_looks_any_more_it_rests(worker):
    asked = found(17)
    worker.look("own", asked)
    wait(worker)
    assert worker.is_looking("own")
    assert known_plan(asked).exact
    assert not worker.firm(asked).settled


def test_who_wants_the_plan_only_gets_no_more(worker):
    asked = found(18)
    for _ in range(3):
        worker.look("own", asked, firm=False)
        wait(worker)
    assert known_plan(asked).exact
    assert worker.firm(asked) == Firm()
    settle(worker, asked)
    assert worker.firm(asked).settled


def test_what_a_job_was_asked_for_before_is_dropped(worker, monkeypatch):
    """The first work waits within its first piece until its job has asked for another."""
    asked, other, said = Event(), found(14), []

    def pieces(problem):
        if problem is other:
            yield from real(problem)
            return
        for piece in range(100):
            said.append(piece)
            assert asked.wait(LONGEST_S)
            yield Firm()

    real = worker_module.pieces
    monkeypatch.setattr(worker_module, "pieces", pieces)
    worker.look("own", found(13))
    worker.look("own", other)
    asked.set()
    settle(worker, other)
    assert len(said) <= 1
    assert worker.firm(other).settled


def test_a_fault_of_ours_leaves_no_page_waiting(worker, monkeypatch):
    def pieces(_):
        raise RuntimeError("a fault of ours")
        yield

    told = []
    monkeypatch.setattr(worker_module, "pieces", pieces)
    monkeypatch.setattr("threading.excepthook", lambda args: told.append(str(args.exc_value)))
    worker.look("own", found(15))
    wait(worker)
    assert told == ["a fault of ours"]
    assert not worker.is_looking("own")
    with pytest.raises(RuntimeError, match="a fault of ours"):
        worker.firm(found(15))
    worker.look("own", found(15))
    assert not worker.is_looking("own"), "it would only fail again"


def test_without_a_quote_there_is_nothing_to_look_for(worker):
    text = SHEET.replace("quote: {money: 317}\n", "").replace("MINUTES", "16")
    asked = suspected_of(read(text, file="no_start.yaml").sheet)
    worker.look("own", asked)
    wait(worker)
    assert plan_of(asked) is None
    assert not worker.is_looking("own")


def test_who_stops_waits_for_the_piece_at_hand(worker):
    worker.look("own", found(19))
    worker.stop()
    assert worker._thread is None
    assert not worker.is_looking("own")
