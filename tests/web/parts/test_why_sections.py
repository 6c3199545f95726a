"""A doubtful part on Now and on Why, what is watched, and a proof with its curve."""

import re

import pytest
from tests.garages import giving, work_to_the_thermostat

JOB = "/job/runs-hot"
HOSE = """
sheet: 1
id: hose
title: "Pulls to one side"
suspects: {hose: {name: "Brake hose swollen", kind: brakes}}
repairs:
  new_hose: {name: "New hose", fixes: [hose], cover: wheel, money: 40, minutes: "20 min"}
covers:
  wheel: {name: "Wheel", fact: off(wheel)}
steps:
  - {id: open, do: "Wheel off", zone: wheel, time: "5 10 15 min", makes: [off(wheel)]}
  - {id: close, do: "Wheel on", zone: wheel, time: "5 10 15 min", needs: [off(wheel)], ends: [off(wheel)]}
"""


@pytest.fixture
def give(home):
    return giving(home.garage, "job/runs-hot")


@pytest.fixture
def at_the_thermostat(home, give):
    work_to_the_thermostat(home.garage, give)


def shown(computer, page):
    html = computer.get(f"{JOB}/{page}").text
    return html[html.index("<main") : html.index("</main>")]


@pytest.mark.usefixtures("at_the_thermostat")
def test_the_step_that_decides_shows_the_advice_and_every_option_with_its_picture(computer):
    html = shown(computer, "now")
    words = " ".join(re.sub(r"<[^>]+>", " ", html).split())
    assert re.search(r"expected( later)?\. The answer flips", words)
    for option in ("Replace it now", "Close and watch", "Hand it over"):
        assert re.search(rf"{option} \d+( and \d+ min)?\b", words), option
    assert html.count('class="way watch"') == 3  # one for a phone, one for a laptop, one beside what it costs
    assert 'name="why"' in html


@pytest.mark.usefixtures("at_the_thermostat")
def test_what_is_stated_of_a_part_moves_the_advice_on_why(computer, give):
    before = shown(computer, "why")
    assert "Close and watch:" in before
    give("part_weighed", about="replace_thermostat", probability="90 %")
    after = shown(computer, "why")
    assert "Replace it now:" in after
    assert "you say 90 %" in after


@pytest.mark.usefixtures("at_the_thermostat")
def test_a_decision_at_the_step_keeps_the_advice_and_opens_the_watch(computer, give, home):
    give("step_done", step="decide_thermostat", choice="no", until_km="800", on="code")
    job = home.garage.job("runs-hot")
    assert job.state.decisions[-1].data["advice"] == "close and watch"
    book = shown(computer, "book")
    assert "Thermostat sticks shut or its heater is open, until it shows again, or 800 km more" in book
    assert "the code returns" in computer.get("/").text


def test_of_a_safety_part_no_number_is_asked(computer, give):
    give("job_opened", "job/hose", vehicle="oskelt", sheet=HOSE)
    give("started", "job/hose")
    give("step_done", "job/hose", step="open")
    html = computer.get("/job/hose/why").text
    assert "do not drive on it" in html
    assert "Decide about it" in html
    assert "State what you know of it" not in html


def test_a_steps_decision_about_no_part_shows_nothing_of_it(computer):
    assert "advised" not in shown(computer, "now")
    assert 'class="way' not in shown(computer, "now")


def test_a_proof_by_driving_shows_its_curve_until_it_came_back(computer, give):
    give("returns_stated", times="3", over="450", per="km")
    give("proof_driven", distance="120 km")
    html = shown(computer, "book")
    assert "more without it for 19 times out of 20" in html
    assert html.count('<circle class="raw"') == 2
    give("proof_driven", distance="10 km", came_back="yes")
    html = shown(computer, "book")
    assert "It came back, so the mend was not it." in html
    assert '<circle class="raw"' not in html


def test_what_brings_a_watch_back_is_asked_and_refused_at_its_field(computer, token):
    typed = {
        "id": "ab" * 16, "stream": "job/runs-hot", "kind": "watch_opened", "back": f"{JOB}/book",
        "csrf": token(computer), "form": "watch_opened job/runs-hot", "what": "Fan connector", "until_date": "soon",
    }  # fmt: skip
    answer = computer.post("/events", data=typed)
    assert answer.status_code == 422
    assert "&#34;soon&#34; is no date. Write year, month and day" in answer.text
