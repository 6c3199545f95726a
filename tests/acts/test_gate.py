"""The gate at every way in: a reading, a limit of a job, a decision, a code, and the tap that says what a part is."""

import json

import pytest
from tests.garages import giving
from tests.refusing import refused

from knowngood.acts import book
from knowngood.acts.faults.doubtful_parts import doubtful_parts
from knowngood.acts.faults.first_actions import Code
from knowngood.acts.faults.known_part import parts_of
from knowngood.acts.faults.suspects import suspected_of
from knowngood.acts.job.planning import read_sheet
from knowngood.acts.job.problems import open_problems
from knowngood.acts.readings.judging import event_data, judge_typed
from knowngood.cli import main
from knowngood.engine.judgement import Safety
from knowngood.engine.troubleshooting.model.codes import decode

SHEET = """
sheet: 1
id: pulls
title: "Pulls to one side"
suspects:
  hose: "Front brake hose swollen"
  tyre: {name: "Tyre worn on one side", kind: tyre}
limits:
  squib: {name: "Squib, pin to pin", band: "2..3 ohm"}
tests:
  ohms: {name: "Squib out of its limits", shows: [hose], limit: squib}
repairs:
  new_hose: {name: "New hose", fixes: [hose], minutes: "30 min", money: 40}
steps:
  - {id: look, do: "Look at both hoses", zone: wheel, time: "1 2 4 min"}
"""
IGNITER = {"limits": "2..3 ohm", "read": "2.2 ohm"}


@pytest.fixture
def give(garage):
    one = giving(garage, "job/one")
    one("vehicle_named", "vehicle/van", name="van")
    one("job_opened", vehicle="van", sheet=SHEET, quote="400")
    return one


@pytest.mark.parametrize(
    "name", ["driver airbag igniter", "HV interlock loop", "A/C pressure, low side", "belt pre-tensioner"]
)
def test_a_reading_that_nobody_takes_at_home_is_refused_at_its_name(name):
    says = refused(judge_typed, IGNITER, reading_id="1", name=name)
    assert list(says) == ["name", "not_safety"]
    assert "sounds like" in says["name"]


def test_a_person_says_that_it_is_not_and_the_reason_is_kept():
    told = judge_typed({**IGNITER, "not_safety": "igniter of the stove"}, reading_id="1", name="igniter")
    data = event_data(told)
    assert data["not_safety"] == "igniter of the stove"
    assert data["further"][0].endswith("igniter of the stove")


def test_a_reading_of_the_brakes_goes_by_the_rule_of_safety_with_its_caution():
    told = judge_typed({"limits": "min 2 mm", "read": "4 mm"}, reading_id="1", name="Brake lining, rear left")
    assert isinstance(told.band.rule, Safety)
    assert "do not drive on it" in event_data(told)["further"][0]
    costs = {"limits": "min 2 mm", "read": "4 mm", "rule": "30 100"}
    assert list(refused(judge_typed, costs, reading_id="1", name="Brake lining")) == ["rule"]


def test_any_other_reading_is_as_it_was():
    told = judge_typed({"limits": "80..95 ohm", "read": "88 ohm"}, reading_id="1", name="Horn relay coil")
    assert not isinstance(told.band.rule, Safety)
    assert "not_safety" not in event_data(told)


def test_a_limit_of_a_job_is_refused_where_its_reading_is_typed(give):
    says = refused(give, "reading_judged", limit="squib", read="2.2 ohm")
    assert list(says) == ["read", "not_safety"]
    (event,) = give("reading_judged", limit="squib", read="2.2 ohm", not_safety="squib of a model rocket")
    assert event.data["not_safety"] == "squib of a model rocket"


def test_the_terminal_refuses_it_with_2(capsys):
    words = ["judge", "--limits", "2..3 ohm", "--read", "2.2 ohm", "--name", "side curtain inflator"]
    assert main(words) == 2
    told = capsys.readouterr().err
    assert told.startswith('--name: "side curtain inflator" sounds like belts and airbags.')
    assert "--not-safety: If it belongs to something else" in told
    assert main([*words, "--not-safety", "inflator of an air bed"]) == 0
    assert "inflator of an air bed" in capsys.readouterr().out


def test_one_tap_says_what_a_part_is_and_counts_everywhere_after(garage, give):
    def asked():
        found = open_problems(garage, garage.job("one"))
        return [one for one in found if one.code == "safety part undeclared"]

    tap = asked()[0].answers[1]
    assert parts_of(garage, garage.job("one"))["new_hose"].kind == "brakes"
    (event,) = give(tap.kind, **dict(tap.fields))
    job = garage.job("one")
    assert asked() == []
    assert parts_of(garage, job)["new_hose"].kind is None
    rows = dict(book.sections(job))["Said of parts"]
    assert rows == ["Front brake hose swollen: belongs to no system that safety hangs on."]
    assert book.may_be_taken_back(job)[0] == (event.id, "Said of a part: Front brake hose swollen")
    give("withdrawn", event=event.id)
    assert [one.place for one in asked()] == ["suspects/hose"]


def test_a_part_that_was_said_to_be_one_is_no_longer_asked(garage, give):
    tap = next(one for one in open_problems(garage, garage.job("one")) if one.answers).answers[0]
    give(tap.kind, **dict(tap.fields))
    found = open_problems(garage, garage.job("one"))
    assert [one.code for one in found if one.answers] == []
    assert parts_of(garage, garage.job("one"))["new_hose"].kind == "brakes"


def test_a_system_that_there_is_not_is_refused(give):
    assert list(refused(give, "part_is", name="Front brake hose swollen", system="lights")) == ["system"]


def test_a_test_of_a_sealed_part_is_neither_proposed_nor_noted(give):
    problem = suspected_of(read_sheet(SHEET, "pulls.yaml").sheet).problem
    assert [one.safe for one in problem.tests] == [False]
    assert "is for a workshop" in refused(give, "finding_noted", test="ohms", outcome="yes")["outcome"]
    with pytest.raises(ValueError, match="is for a workshop"):
        suspected_of(read_sheet(SHEET, "pulls.yaml").sheet, [("ohms", "yes")])


@pytest.mark.parametrize(
    ("name", "advice"),
    [
        ("Front brake hose swollen", "replace now"),
        ("Brake pipe rusty", "hand over"),
        ("Pretensioner", "hand over"),
        ("Battery contactor of the hybrid", "hand over"),
        ("Refrigerant line", "hand over"),
        ("Drive belt tensioner", "close and watch"),
    ],
)
def test_a_part_of_these_is_never_closed_and_watched(capsys, name, advice):
    assert main(["decide", "--about", name, "--probability", "10 %", "--again", "20", "--damage", "50", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["advice"] == advice


def test_an_undeclared_suspect_of_a_sheet_counts_as_one():
    parts = doubtful_parts(read_sheet(SHEET, "pulls.yaml").sheet)
    assert {key: one.kind for key, one in parts.items()} == {"new_hose": "brakes", "tyre": "tyres and wheel bolts"}


@pytest.mark.parametrize(
    ("code", "manual", "caution"),
    [
        ("P0A80", "", "Orange cables can kill even when off"),
        ("P0C12", "", "Orange cables can kill even when off"),
        ("B0028", "Curtain airbag right, resistance high", "a meter can fire them"),
        ("P0300", "", ""),
        ("P0571", "Brake light switch", ""),
        ("C0035", "Wheel speed sensor, left front", ""),
    ],
)
def test_a_code_carries_its_caution_wherever_it_is_shown(code, manual, caution):
    one = Code(decode(code), manual=manual)
    assert caution in one.caution
    assert one.words.endswith(one.caution)
    assert bool(one.caution) is bool(caution)
