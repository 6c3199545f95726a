"""The one advice on Why and on Now: the same, with its step, and gone once a step of it is next; the whole plan."""

import re

import pytest
from tests.garages import giving, go_on_all_the_same

from knowngood.acts.faults.plan import plan_of
from knowngood.acts.faults.suspects import suspected
from knowngood.sheet import library
from knowngood.web.why_plan import advice, ask_next, looked, version, whole

JOB = "drain"


@pytest.fixture
def add(home):
    """Hand entries of a job over: a battery empty after a night, begun."""
    given = giving(home.garage, f"job/{JOB}")
    given("vehicle_named", "vehicle/own", name="Own")
    sheet = library.text("battery_drain")
    given("job_opened", vehicle="own", sheet=sheet, sheet_file="battery_drain.yaml", quote="330")
    go_on_all_the_same(home.garage, given, JOB)
    given("started")
    return given


@pytest.fixture
def at(home, add):
    """What a page knows once the best plan is found."""

    def now():
        job = home.garage.job(JOB)
        plan_of(suspected(home.garage, job))
        return job, looked(home.garage, job, None)

    return now


def test_now_gives_the_advice_of_why_with_its_step(at, computer):
    job, known = at()
    told, line = advice(job, known), ask_next(job, known)
    assert told["what"] == line["what"] == "the test “Battery's case bulged, cracked or wet”"
    assert told["step"]["number"] == line["number"]
    html = computer.get(f"/job/{JOB}/now").text
    shown = re.search(r'<p class="next"[^>]*>(.*?)</p>', html)[1]
    assert f"(step {line['number']})" in shown
    assert f'href="/job/{JOB}/steps#step-{job.sheet.tests["case_look"].step[0]}"' in shown


def test_now_is_silent_when_the_step_of_the_advice_is_next(at, add, computer, home):
    job = home.garage.job(JOB)
    (step,) = job.sheet.tests["case_look"].step
    while job.run.now.id != step:
        add("step_done", step=job.run.now.id)
        job = home.garage.job(JOB)
    job, known = at()
    assert known.plan.next.keys == ("case_look",)
    assert ask_next(job, known) is None
    assert '<p class="next"' not in computer.get(f"/job/{JOB}/now").text


def test_the_whole_plan_has_each_outcome_and_ends_that_add_up(at):
    _, known = at()
    told = whole(known)
    assert len(told["outlook"]) == 3
    ends = known.plan.tree.ends
    assert sum(one.chance for one in ends) == pytest.approx(1.0)

    def names(node):
        yield node["name"]
        for branch in node["branches"]:
            if branch["then"]:
                yield from names(branch["then"])
            else:
                assert branch["end"]

    assert len(list(names(told["tree"]))) == len(known.plan.tree.steps)


def test_what_a_waiting_page_asks_for_says_whether_to_ask_again(at, computer):
    _, known = at()
    assert version(known)["looking"] is False
    answer = computer.get(f"/job/{JOB}/why.json").json()
    assert set(answer) == {"version", "looking", "proved"}
    assert answer["proved"].startswith("Exact")


def test_once_the_fault_is_gone_nothing_is_advised(at, add, home):
    add("finding_noted", test="not_charging", outcome="yes")
    assert at()[1].plan is not None
    add("finding_noted", test="new_alternator", outcome="gone")
    job = home.garage.job(JOB)
    known = looked(home.garage, job, None)
    assert known.plan is None
    assert advice(job, known)["words"].startswith("The fault was gone after “New alternator”.")
