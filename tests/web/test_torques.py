"""What a bolt is tightened to is said in the same words wherever it is said; by hand only where the sheet says so."""

import pytest
from tests.garages import giving, go_on_all_the_same

from knowngood.acts.hand_over import hand_over
from knowngood.acts.job.run_document import document
from knowngood.report.paper.fill import book_data, card_data

SAID = {
    "stated": "25 N·m ± 3",
    "asked": "9 N·m ± 1",
    "silent": "the manual states no torque",
    "open": "the manual's torque, not looked up",
    "none": "no torque stated",
    "clamp": "by hand",
    "both": "30 N·m",
}
SHEET = """sheet: 1
id: bolts
title: Bolts
asks:
  asked: {question: Torque of the asked, answer: torque, like: 9 N·m}
  silent: {question: Torque of the silent, answer: torque, like: 9 N·m}
  open: {question: Torque of the open, answer: torque, like: 9 N·m}
fasteners:
  stated: {name: stated bolt, torque: "25 N·m ± 3"}
  asked: {name: asked bolt, torque: {ask: asked}}
  silent: {name: silent bolt, torque: {ask: silent}}
  open: {name: open bolt, torque: {ask: open}}
  none: {name: none bolt}
  clamp: {name: clamp bolt, hand_tight: true}
  both: {name: both bolt, torque: "30 N·m", hand_tight: true}
steps:
  - {id: off, do: Off, zone: wheel, time: "1 2 3 min", loosen: [stated, asked, silent, open, none, clamp, both]}
  - {id: on, do: On, zone: wheel, time: "1 2 3 min", tighten: [stated, asked, silent, open, none, clamp, both]}
"""


@pytest.fixture
def give(home):
    """A job whose bolts are loose, each tightened another way."""
    handed = giving(home.garage, "job/bolts")
    handed("vehicle_named", "vehicle/own", name="Own")
    handed("job_opened", vehicle="own", sheet=SHEET)
    handed("answered", ask="asked", typed="9 N·m ± 1")
    handed("answered", ask="silent", silent="yes")
    go_on_all_the_same(home.garage, handed, "bolts")
    handed("started")
    handed("step_done", step="off")
    return handed


def by_bolt(rows):
    """For each bolt the one row that names it."""
    return {name: next(row for row in rows if f"{name} bolt" in row) for name in SAID}


@pytest.mark.parametrize("name", SAID)
def test_one_answer_everywhere(home, computer, give, name):
    job = home.garage.job("bolts")
    run = document(job, made="now")
    assert job.torque_text(name) == SAID[name]
    assert by_bolt(run["to_undo"])[name] == f"1 × {name} bolt, {SAID[name]}"
    assert {one["fastener"]: one["torque"] for one in run["steps"][1]["torques"]}[name] == SAID[name]
    card = {one.label: one.allowed for one in card_data(home.garage, job).steps[1].torques}
    assert card[f"1 × {name} bolt"] == SAID[name]
    handed_over = [row for _, rows in hand_over(home.garage, job) for row in rows]
    assert f"1 × {name} bolt, {SAID[name]}" in handed_over
    pages = {page: computer.get(f"/job/bolts/{page}").text.replace("&#39;", "'") for page in ("now", "bolts", "more")}
    assert f"<b>1 × {name} bolt</b> {SAID[name]}</p>" in pages["now"]
    assert f"<h2>1 × {name} bolt<span>{SAID[name]}</span>" in pages["bolts"]
    assert f"1 × {name} bolt, {SAID[name]}" in pages["more"]


def test_it_is_signed_and_kept_in_the_same_words(home, give):
    give("step_done", step="on")
    job = home.garage.job("bolts")
    assert {event.data["fastener"]: event.data["torque"] for event in job.state.bolts} == SAID
    bolts = next(one for one in book_data(home.garage, job).sections if one.title == "Bolts")
    assert {row[0].split()[0]: row[2] for row in bolts.rows} == {
        name: f"{words}, all as stated" for name, words in SAID.items()
    }
