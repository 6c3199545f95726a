"""A tool says what it must fit; the size is noted at first use and named in every job on the vehicle from then on."""

import re

import pytest
from tests.garages import giving, go_on_all_the_same
from tests.refusing import refused

from knowngood.acts.job.fits import place_of, tools_words
from knowngood.acts.job.run_document import document
from knowngood.acts.record.fits import BARE, TOO_LONG
from knowngood.report.paper.fill import card_data
from knowngood.sheet import library
from knowngood.sheet.reader import read

SHEET = """sheet: 1
id: {id}
title: "Tray"
asks: {{t: {{question: "Torque of the tray's screws", answer: torque, like: "7 N·m ± 1"{same_as}}}}}
fasteners:
  tray: {{name: "tray screws", torque: {{ask: t}}}}
  clip: {{name: "clip", hand_tight: true}}
steps:
  - {{id: off, do: "Tray off", zone: top, time: "1 2 3 min", loosen: [tray, clip],
     tools: [{{name: "ratchet and socket", fits: tray}}, {{name: pliers, fits: [tray, clip]}}, "torch"]}}
  - {{id: on, do: "Tray on", zone: top, time: "1 2 3 min", tighten: [tray, clip],
     tools: [{{name: socket, fits: tray}}]}}
"""
SHARED = ", same_as: torque(undertray)"


def sheet(id="one", same_as=SHARED):
    return SHEET.format(id=id, same_as=same_as)


@pytest.fixture
def give(garage):
    handed = giving(garage, "job/first")
    handed("vehicle_named", "vehicle/own", name="Own")
    handed("vehicle_named", "vehicle/other", name="Other")
    handed("job_opened", vehicle="own", sheet=sheet())
    go_on_all_the_same(garage, handed, "first")
    handed("started")
    return handed


def kit(garage, job):
    one = garage.job(job)
    return tools_words(one.sheet, one.sheet.steps, one.sizes)


OPEN = [
    "ratchet and socket to fit the tray screws", "pliers to fit the tray screws and the clip", "torch",
    "socket to fit the tray screws",
]  # fmt: skip
NOTED = [
    "ratchet and socket: 10 mm for the tray screws", "pliers: 10 mm for the tray screws, to fit the clip", "torch",
    "socket: 10 mm for the tray screws",
]  # fmt: skip


def test_a_size_noted_with_the_step_is_named_at_the_next_on_paper_and_for_the_phone(garage, give):
    assert kit(garage, "first") == OPEN
    give("step_done", step="off", fit_tray="10 mm")
    assert kit(garage, "first") == NOTED
    job = garage.job("first")
    assert set(NOTED) <= set(card_data(garage, job).bring)
    steps = document(job, made=garage.now())["steps"]
    assert [step["tools"] for step in steps] == [NOTED[:3], NOTED[3:]]


@pytest.mark.parametrize(
    ("vehicle", "text", "known"),
    {
        "the same sheet": ("own", sheet(), True),
        "another that says it means the same": ("own", sheet("two"), True),
        "another that does not": ("own", sheet("two", same_as=""), False),
        "another vehicle": ("other", sheet(), False),
    }.values(),
)
def test_the_next_job_knows_it_where_it_is_the_same_bolts_of_the_same_vehicle(garage, give, vehicle, text, known):
    give("step_done", step="off", fit_tray="10 mm")
    give("job_opened", "job/second", vehicle=vehicle, sheet=text)
    assert kit(garage, "second") == (NOTED if known else OPEN)


def test_the_newest_word_counts_and_what_is_taken_back_does_not(garage, give):
    give("step_done", step="off", fit_tray="8 mm")
    [event, *_] = give("fit_noted", fastener="tray", size="10 mm")
    assert kit(garage, "first") == NOTED
    give("withdrawn", event=event.id)
    assert garage.job("first").sizes == {"tray": "8 mm"}
    [done] = [one.id for one in garage.job("first").state.done]
    give("withdrawn", event=done)
    assert kit(garage, "first") == OPEN


@pytest.mark.parametrize(
    ("typed", "words"), [("10", BARE.format(typed="10")), ("x" * 61, TOO_LONG.format(most=60))], ids=["bare", "long"]
)
def test_what_names_no_size_is_refused_at_its_field_and_the_step_is_not_done(garage, give, typed, words):
    assert refused(give, "step_done", step="off", fit_tray=typed) == {"fit_tray": words}
    assert refused(give, "fit_noted", fastener="tray", size=typed) == {"size": words}
    assert garage.job("first").state.done == []


def test_a_second_phone_that_brings_a_size_with_done_is_not_dropped(give):
    give("step_done", step="off", round="1")
    assert "written down already" in refused(give, "step_done", step="off", round="1", fit_tray="10 mm")[""]


def shipped(name):
    return read(library.text(name), file=name).sheet


def test_no_library_sheet_names_a_size_that_a_vehicle_decides():
    for found in map(shipped, (one.id for one in library.sheets())):
        words = [tool.name for step in found.steps for tool in step.tools]
        words += [ask.like for ask in found.asks.values() if ask.answer == "words"]
        assert [one for one in words if re.search(r"\d+ ?mm|\bT\d+\b|\d/\d", one)] == [], found.id


def test_the_batterys_clamps_are_the_same_bolts_in_both_demo_sheets():
    hot, drain = shipped("runs_hot"), shipped("battery_drain")
    assert place_of(hot, "battery_clamp") == place_of(drain, "clamps") == "battery.clamps"
    assert place_of(hot, "drain_plug") == "coolant.drain"
    assert place_of(hot, "housing") == "runs_hot/housing"
