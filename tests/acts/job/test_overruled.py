"""An overruling names one problem at one place of the sheet, and what was said there."""

import pytest
from tests.garages import giving, keep_old
from tests.refusing import refused

from knowngood.acts.book import sections
from knowngood.acts.job.problems import open_problems

JOB = "job/brakes"
SHEET = """sheet: 1
id: brakes
title: "Head and brakes"
fasteners:
  head: {name: "head bolts", count: 10}
  caliper: {name: "caliper bolt", count: 2}
limits:
  coil: {name: "Coil", band: "80..95 ohm", quantity: coil_resistence}
  other: {name: "Other", band: "80..95 ohm", quantity: coil_resistence}
steps:
  - {id: close, do: "Tighten all", zone: wheel, time: "1 2 3 min", tighten: [head, caliper]}
"""


@pytest.fixture
def give(garage):
    handed = giving(garage, JOB)
    handed("vehicle_named", "vehicle/own", name="Own")
    handed("job_opened", vehicle="own", sheet=SHEET, sheet_file="brakes.yaml")
    return handed


def standing(garage):
    return {one.place: one for one in open_problems(garage, garage.job("brakes"))}


def revised(give, old, new):
    assert old in SHEET
    give("sheet_revised", sheet=SHEET.replace(old, new), why="better")


HEAD, CALIPER = "steps/close/tighten/head", "steps/close/tighten/caliper"
LIMITS = ("limits/coil/quantity", "limits/other/quantity")


def test_one_bolt_overruled_leaves_the_other_at_the_same_step(garage, give):
    assert {HEAD, CALIPER} <= set(standing(garage))
    give("overruled", problem=standing(garage)[HEAD].key, reason="by angle, from the data book")
    assert HEAD not in standing(garage)
    assert CALIPER in standing(garage)


def test_one_limit_overruled_leaves_the_others(garage, give):
    give("overruled", problem=standing(garage)[LIMITS[0]].key, reason="read it so")
    assert LIMITS[0] not in standing(garage)
    assert LIMITS[1] in standing(garage)


def test_what_the_browser_sends_beside_the_key_is_not_kept(garage, give):
    problem = standing(garage)[HEAD]
    [event] = give(
        "overruled", problem=problem.key, reason="by angle", code="x", step="y", message="All is well", place="z"
    )
    assert event.version == 2
    assert event.data == {
        "code": "no torque", "place": HEAD, "said": problem.said, "step": "close", "message": problem.message,
        "reason": "by angle",
    }  # fmt: skip
    assert dict(sections(garage.job("brakes")))["Overruled"] == [f"{problem.message} Reason: by angle"]


GONE = "This stands against the job no more, or says something else now. Reload the page."


@pytest.mark.parametrize("fields", [{}, {"problem": "0" * 16}, {"code": "no torque", "step": "close", "message": "m"}])
def test_what_does_not_stand_is_not_overruled(garage, give, fields):
    assert refused(give, "overruled", reason="r", **fields) == {"": GONE}


def test_a_revision_that_moves_lines_and_rows_changes_nothing(garage, give):
    give("overruled", problem=standing(garage)[CALIPER].key, reason="seen to")
    revised(give, 'title: "Head and brakes"\n', 'title: "Head and brakes"\nabout: "Both"\n')
    assert CALIPER not in standing(garage)
    revised(give, "tighten: [head, caliper]", "tighten: [caliper, head]")
    assert CALIPER not in standing(garage)
    assert HEAD in standing(garage)
    revised(give, "do: ", "cautions: [Slowly], do: ")
    assert CALIPER not in standing(garage)


@pytest.mark.parametrize(
    ("old", "new", "place"),
    [
        ('"caliper bolt"', '"caliper carrier bolt"', CALIPER),
        ("{id: close", "{id: shut", CALIPER.replace("close", "shut")),
    ],
)
def test_a_revision_that_changes_what_was_said_brings_it_back(garage, give, old, new, place):
    give("overruled", problem=standing(garage)[CALIPER].key, reason="seen to")
    revised(give, old, new)
    assert place in standing(garage)


def test_taken_back_it_stands_again(garage, give):
    [event] = give("overruled", problem=standing(garage)[HEAD].key, reason="r")
    give("withdrawn", event=event.id)
    assert HEAD in standing(garage)


def old(garage, place, number=900, **changed):
    """Overruled by the program before, which kept code, step and the message with its line."""
    problem = standing(garage)[place]
    kept = {"code": problem.code, "step": problem.step, "message": problem.message, "reason": "r", **changed}
    keep_old(garage, number, "overruled", JOB, **kept)


@pytest.mark.parametrize("place", [HEAD, CALIPER, *LIMITS])
def test_an_old_one_that_may_mean_either_of_two_counts_for_neither(garage, give, place):
    before = set(standing(garage))
    old(garage, place)
    assert set(standing(garage)) == before
    assert len(garage.job("brakes").state.overruled) == 1


ALONE = SHEET.replace("caliper: {", 'caliper: {torque: "30 N·m", ')


def test_an_old_one_that_can_be_told_apart_counts_wherever_its_line_is_now(garage, give):
    give("sheet_revised", sheet=ALONE, why="found it")
    old(garage, HEAD)
    assert HEAD not in standing(garage)
    give("sheet_revised", sheet=ALONE.replace("fasteners:", "\n\nfasteners:"), why="air")
    assert HEAD not in standing(garage)


@pytest.mark.parametrize("changed", [{"message": "All is well"}, {"step": None}, {"code": "never tightened"}])
def test_an_old_one_of_other_words_counts_for_nothing(garage, give, changed):
    give("sheet_revised", sheet=ALONE, why="found it")
    old(garage, HEAD, **changed)
    assert HEAD in standing(garage)
