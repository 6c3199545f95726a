"""Before the start: one tap says what a part is that only sounds like one, and the stop is gone."""

import re

import pytest
from tests.garages import giving

SHEET = """
sheet: 1
id: pulls
title: "Pulls to one side"
suspects:
  hose: "Front brake hose swollen"
steps:
  - {id: look, do: "Look at both hoses", zone: wheel, time: "1 2 4 min"}
"""


@pytest.fixture
def start(home, computer):
    give = giving(home.garage, "job/pulls")
    give("job_opened", vehicle="oskelt", sheet=SHEET)
    return lambda: computer.get("/job/pulls/start").text


def test_one_tap_on_the_start_page_settles_it(start, computer, token):
    html = start()
    assert "It belongs to the brakes" in html
    assert "1 against starting" in html
    forms = [one for one in re.findall(r"<form.*?</form>", html, re.DOTALL) if "It does not belong" in one]
    hidden = dict(re.findall(r'name="([a-z_]+)" value="([^"]*)"', forms[0]))
    assert hidden["name"] == "Front brake hose swollen"
    answer = computer.post("/events", data=hidden)
    assert answer.status_code == 303
    assert "0 against starting" in start()
