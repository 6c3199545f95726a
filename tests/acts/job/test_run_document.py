"""The run as one document: what a phone goes on from."""

import json

import pytest

from knowngood.acts.job.run_document import document
from knowngood.acts.record.entries import Entry
from knowngood.acts.record.take import take


@pytest.fixture
def garage(demo_garage):
    return demo_garage


def test_it_is_plain_json_and_names_the_step_that_is_next(garage):
    made = document(garage.job("runs-hot"), made="now")
    assert json.loads(json.dumps(made, allow_nan=False))["now"] == "measure_coil"
    assert [step["number"] for step in made["steps"]] == list(range(1, 49))


def test_it_says_after_which_steps_it_is_safe_to_stop(garage):
    steps = {one["id"]: one for one in document(garage.job("runs-hot"), made="now")["steps"]}
    assert not steps["lift"]["safe_to_stop"]
    assert steps["stands"]["safe_to_stop"]
    assert not steps["warm_up"]["safe_to_stop"]
    assert steps["engine_off"]["safe_to_stop"]


def test_the_log_holds_what_moves_the_run_and_no_more(garage):
    give = {"limit": "coil", "read": "100.9 101.2 101.1", "zero": "0.4", "part": "48 ± 4"}
    take(garage, Entry("a" * 32, "job/runs-hot", "reading_judged", give))
    log = document(garage.job("runs-hot"), made="now")["log"]
    assert {one["kind"] for one in log} == {"step_done", "read"}
    assert log[-1] == {"id": "a" * 32, "kind": "read", "limit": "coil", "outcome": "within"}


def test_a_decision_made_with_a_step_is_taken_back_with_it(garage):
    fields = {"step": "decide_thermostat", "choice": "yes"}
    take(garage, Entry("b" * 32, "job/runs-hot", "step_done", fields))
    log = document(garage.job("runs-hot"), made="now")["log"]
    assert [(one["id"], one["kind"]) for one in log[-2:]] == [("b" * 32, "step_done"), ("b" * 32, "decided")]
    take(garage, Entry("c" * 32, "job/runs-hot", "withdrawn", {"event": "b" * 32}))
    assert len(document(garage.job("runs-hot"), made="now")["log"]) == len(log) - 2


def test_a_job_not_started_has_no_next_step(garage):
    take(garage, Entry("d" * 32, "vehicle/second", "vehicle_named", {"name": "Second"}))
    opened = {"vehicle": "second", "library": "runs_hot", "scope": "mend"}
    take(garage, Entry("e" * 32, "job/second", "job_opened", opened))
    assert document(garage.job("second"), made="now")["now"] is None
