"""The one advice on Why and on Now: the same, with its step, and gone once a step of it is next; the whole plan."""

import html
import re
from dataclasses import replace

import pytest
from tests.acts.test_battery_job import SOUND
from tests.garages import giving, go_on_all_the_same

from knowngood.acts.faults.plan import plan_of
from knowngood.acts.faults.suspects import suspected
from knowngood.report.terminal import suspects_lines
from knowngood.sheet import library
from knowngood.web.parts.why_plan import advice, ask_next, looked, version, whole

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
    page = computer.get(f"/job/{JOB}/now").text
    shown = re.search(r'<p class="next"[^>]*>(.*?)</p>', page)[1]
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


def said_everywhere(home, computer):
    """The advice of Why where the job stands now, held against Now and the terminal."""
    job = home.garage.job(JOB)
    found = suspected(home.garage, job)
    plan_of(found)  # the best there is, before a page's worker comes to it
    known = looked(home.garage, job, None)
    told, line = advice(job, known), ask_next(job, known)
    now = html.unescape(computer.get(f"/job/{JOB}/now").text)
    terminal = " ".join(suspects_lines.suspects(found, known.plan).split())
    if not told["what"]:
        assert line is None
        assert "Next:" not in terminal
        assert "Best next:" not in now
        return told
    assert f"Next: {told['what'][0].upper()}{told['what'][1:]}." in terminal
    assert told["first"] in terminal
    if line is None:
        assert job.run.now.id in {step for key in known.plan.next.keys for step in steps_of(job.sheet, key)}
    else:
        assert f"{told['what']} (step" in now or f"{told['what']}. " in now
        assert told["first"] in now
    return told


def steps_of(sheet, key):
    return (sheet.tests.get(key) or sheet.repairs[key]).step


def test_from_the_first_step_to_the_last_now_why_and_the_terminal_advise_the_same(home, computer, add):
    """Steps are done and nothing is said of what they showed, so that the advice waits for a word at some of them."""
    seen = [said_everywhere(home, computer)]
    while step := home.garage.job(JOB).run.now:
        for limit in step.read:
            add("reading_judged", limit=limit, step=step.id, **SOUND[limit])
        choice = {"choice": next(iter(step.decide.choices))} if step.decide else {}
        add("step_done", step=step.id, **choice)
        seen.append(said_everywhere(home, computer))
    assert "Its step is done: say what it showed." in {told["first"] for told in seen}
    add("finished")
    told = said_everywhere(home, computer)
    assert told["words"] == "This job is finished, so nothing is advised. To go on, open it again in the Book."


def test_now_says_that_a_better_advice_is_looked_for_and_no_more_once_it_is_found(at, home):
    job, found = at()
    hasty = replace(found, plan=replace(found.plan, settled=False), looking=True)
    assert [ask_next(job, one)["provisional"] for one in (hasty, replace(hasty, plan=found.plan), found)] == [
        True, False, False,
    ]  # fmt: skip


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
