"""The demo's two stories: the same each time, in order, half done; the first can be brought to its end."""

from datetime import datetime, timedelta

import pytest
from tests.garages import NOW, giving

from knowngood.acts.faults.plan import plan_of
from knowngood.acts.faults.suspects import suspected
from knowngood.acts.faults.worth_doing import worth_doing
from knowngood.acts.job.run import Standing
from knowngood.acts.readings.settling import worth_showing
from knowngood.acts.tools.prices import cans_of
from knowngood.demo import drain, runs_hot

JOB = runs_hot.JOB
STORIES = pytest.mark.parametrize("story", [runs_hot, drain], ids=["runs hot", "empty overnight"])
READ = {
    "coil": {"read": "100.9 101.2 101.1 ohm", "zero": "0.4 ohm", "part": "48 ± 4 °C", "meter": "blue meter"},
    "heater": {"read": "14.6 14.7 14.6 ohm", "zero": "0.3 ohm", "meter": "blue meter"},
    "feed_drop": {"read": "0.31 0.33 V", "meter": runs_hot.VOLTS},
}
COIL_OUT = {**READ, "coil": {**READ["coil"], "read": "140.9 141.2 141.1 ohm"}}


@pytest.fixture
def garage(demo_garage):
    return demo_garage


def walk(garage, readings, thermostat):
    """Do every step that is left, as Now offers them; return their ids."""
    walked, give = [], giving(garage, JOB)
    while (step := garage.job("runs-hot").run.now) is not None:
        assert len(walked) < 100
        fields = [
            ("reading_judged", {"limit": limit, "step": step.id, **readings[limit]})
            for limit in step.read
            if limit not in garage.job("runs-hot").run.progress.found
        ]
        typed = {"step": step.id}
        if step.decide:
            typed |= {"choice": thermostat, "why": "its heater"}
        if step.drain or step.fill:
            typed |= {"amount": "4.5 L", "fluid_c": "18 °C"}
        for kind, words in [*fields, ("step_done", typed)]:
            give(kind, **words)
        walked.append(step.id)
    return walked


def test_the_story_is_the_same_each_time_and_told_in_order():
    told = list(runs_hot.entries(NOW))
    assert told == list(runs_hot.entries(NOW))
    assert len({one.id for one in told}) == len(told)
    assert [one.device_seq for one in told] == list(range(1, len(told) + 1))
    when = [datetime.fromisoformat(one.happened) for one in told]
    assert when == sorted(when)
    assert when[-1] <= NOW


def test_the_job_began_a_little_over_three_hours_ago():
    began = next(one for one in runs_hot.entries(NOW) if (one.stream, one.kind) == (JOB, "started"))
    assert timedelta(hours=3) < NOW - datetime.fromisoformat(began.happened) < timedelta(hours=4)


def test_the_coolant_is_out_and_the_undertray_off_before_the_coil(garage):
    run = garage.job("runs-hot").run
    assert {"drained(coolant)", "off(undertray)", "on_stands(front)", "disconnected(battery)"} <= run.facts
    assert run.now.do == "Measure the coil of the fan relay, relay pulled"


def job_of(garage, story):
    return garage.job(story.JOB.partition("/")[2])


@STORIES
def test_every_question_to_the_manual_has_an_answer_or_is_known_to_have_none(garage, story):
    assert set(story.ANSWERS) == set(job_of(garage, story).sheet.asks)


@STORIES
def test_no_advice_rests_on_an_assumed_price(garage, story):
    job = job_of(garage, story)
    found = suspected(garage, job)
    assert (found.unpriced, found.assumed) == ((), ())
    assert not [words for words in worth_doing(garage, job).assumed if "price" in words]


def test_the_garage_opens_on_the_job_that_runs_hot(garage):
    assert list(garage.jobs()) == ["runs-hot", "empty-overnight"]
    assert [one.name for one in garage.vehicles().values()] == ["Ondrelle Tavrick", "Fennimar Oskelt"]


def test_the_second_job_is_best_gone_on_with_by_a_test_of_something_else_than_the_likeliest_part(garage):
    found = suspected(garage, job_of(garage, drain))
    plan = plan_of(found)
    assert plan.exact
    assert found.likeliest[0].key == "worn"
    assert plan.next.keys == ("drains",)
    assert "worn" not in found.sheet.tests["drains"].shows


def test_what_would_settle_the_one_doubtful_reading_costs_what_was_stated(garage):
    (battery,) = garage.job("runs-hot").readings
    assert battery.data["judgement"]["verdict"] == "can't tell"
    money = {one["remedy"]: one["money"] for one in worth_showing(battery.data["judgement"]["settle"])}
    assert money["Borrow or buy a meter with 0.001 V steps"] == 39.0
    assert cans_of(garage.toolbox(), "coolant") == ((5.0, 34.0),)


@pytest.mark.parametrize(
    ("readings", "thermostat", "left_out"),
    [
        (READ, "yes", {"new_relay"}),
        (READ, "no", {"new_relay", "new_thermostat"}),
        (COIL_OUT, "yes", set()),
    ],
    ids=["relay good", "keep both", "renew both"],
)
def test_it_can_be_brought_to_its_end_whatever_is_found(garage, readings, thermostat, left_out):
    walked = walk(garage, readings, thermostat)
    run = garage.job("runs-hot").run
    assert {one for one, how in run.standing.items() if how is Standing.RULED_OUT} == left_out
    assert set(run.standing.values()) <= {Standing.DONE, Standing.RULED_OUT}
    assert walked.count("bleed_hot") == 2
    assert {fact for fact in run.facts if "(" in fact} == {"cool(coolant)", "proven(coolant.cap)"}
    assert {"drivable", "parked"} <= run.facts
