"""A second job on a vehicle that another job has on stands: pages say so, and one tap settles it."""

import html
import re

import pytest
from tests.acts.job.test_standing import DRIVE, LIFT, ON_STANDS, Yard

JSON = {"accept": "application/json"}


@pytest.fixture
def yard(home):
    made = Yard(home.garage)
    made.begin("one", LIFT, "up", "stands", "shake")
    return made


def page(client, at):
    return html.unescape(client.get(at).text)


def form_with(text, words):
    """The fields of the form that says so."""
    found = [form for form in re.findall(r"<form.*?</form>", text, re.S) if words in form]
    return dict(re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', found[0]))


def test_before_the_start_it_is_a_stop_with_a_tap(yard, computer):
    yard.open("two", DRIVE)
    shown = page(computer, "/job/two/start")
    assert "1 against starting." in shown
    assert "Front on two stands since" in shown
    fields = form_with(shown, "It is on its wheels again")
    assert computer.post("/events", data=fields).headers["location"] == "/job/two/start"
    assert "0 against starting." in page(computer, "/job/two/start")


def test_vehicle_more_and_hand_over_name_the_other_job(yard, computer):
    yard.open("two", DRIVE)
    words = "by “Lift the front” (“Set it on stands”)"
    assert "1 standing open" in page(computer, "/")
    assert words in page(computer, "/vehicle/own")
    for name in ("more", "handover", "start"):
        assert words in page(computer, f"/job/two/{name}")


def test_on_now_a_step_is_stopped_and_its_done_comes_back_with_the_tap(yard, computer):
    yard.begin("two", ON_STANDS, "lower")
    shown = page(computer, "/job/one/now")
    [article] = re.findall(r'<article class="problem is-stop" data-group="[^"]*">.*?</article>', shown, re.S)
    assert "No longer so: front on two stands" in article
    done = form_with(shown, "<h1>Look underneath")
    answer = computer.post("/events", data=done, headers=JSON)
    assert answer.status_code == 422
    assert answer.json()["stale"]
    assert answer.json()["message"].startswith("The vehicle stands otherwise.")
    assert computer.post("/events", data=form_with(shown, "So again: front on two stands")).status_code == 303
    assert computer.post("/events", data=done, headers=JSON).status_code == 200


def test_the_phones_document_has_what_it_needs(yard, computer):
    yard.begin("two", ON_STANDS, "lower")
    run = computer.get("/job/one/run.json").json()
    assert [row["kind"] for row in run["log"]][-2:] == ["elsewhere", "elsewhere"]
    [look] = [step for step in run["steps"] if step["id"] == "look"]
    assert {row["fact"] for row in look["against"] if row["gone"]} == {"on_stands(front)", "shaken(stands)"}
