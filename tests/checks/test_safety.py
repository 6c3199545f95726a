"""The gate over sheets: dangers stop, the usual jobs do not, and what only sounds like one is asked."""

from pathlib import Path

import pytest

from knowngood.checks import check
from knowngood.checks.safety import GATE
from knowngood.sheet import library
from knowngood.sheet.reader import read

HOME = sorted((Path(__file__).parents[1] / "sheets" / "home").glob("*.yaml"))
SHIPPED = [one.id for one in library.sheets()]
OURS = {*GATE, "safety part watched", "safety limit weighed"}
STEP = '\nsteps:\n  - {{id: work, do: "{do}", zone: top, time: "1 2 3 min"{more}}}\n'


def gate(reading):
    return [one for one in check(reading) if one.code in OURS]


@pytest.mark.parametrize("path", HOME, ids=lambda path: path.stem)
def test_a_usual_job_as_a_person_writes_it_meets_no_stop(path):
    reading = read(path.read_text(encoding="utf-8"), file=path.name)
    assert reading.problems == ()
    assert [one.message for one in gate(reading)] == []


@pytest.mark.parametrize("name", SHIPPED)
def test_a_shipped_sheet_meets_no_stop(name):
    assert gate(read(library.text(name), file=name)) == []


def test_there_are_usual_jobs():
    assert len(HOME) == 7


@pytest.mark.parametrize(
    ("body", "place", "system"),
    [
        (STEP.format(do="Ohm meter on the seat belt's tensioner", more=""), "steps/work/do", "belts and airbags"),
        (STEP.format(do="Check the connector", more=", fit: [spring]") + 'parts: {spring: {name: "Clock-spring"}}\n',
         "steps/work/do", "belts and airbags"),
        (STEP.format(do="Undo what holds it", more=", loosen: [nut]") + 'fasteners: {nut: {name: "Strut top nut"}}\n',
         "steps/work/do", "the suspension"),
        (STEP.format(do="Look at it", more="") + 'limits: {pins: {name: "Squib, pin to pin", band: "2..3 ohm"}}\n',
         "limits/pins", "belts and airbags"),
        (STEP.format(do="Drain it", more=", drain: tank")
         + 'circuits: {tank: {name: "Tank", fluid: fuel, holds: "50 L", refill: tank.neck}}\n',
         "steps/work/do", "the fuel system"),
        (STEP.format(do="Orange lead off", more=""), "steps/work/do", "the high-voltage system"),
        (STEP.format(do="Low-side port of the air-con opened", more=""), "steps/work/do", "the refrigerant circuit"),
        (STEP.format(do="Unplug it", more=", kind: high voltage"), "steps/work/do", "the high-voltage system"),
    ],
)  # fmt: skip
def test_a_danger_is_a_stop_at_its_place_that_names_the_system(problems, body, place, system):
    found = problems(body.lstrip("\n"), "handed over")
    assert [(one.place, one.severity) for one in found] == [(place, "stop")]
    assert f"belongs to {system}" in found[0].message


@pytest.mark.parametrize(
    "body",
    [
        STEP.format(do="Unplug the yellow connector", more=", kind: none"),
        STEP.format(do="Look at it", more="") + 'limits: {coil: {name: "Igniter", band: "2..3 ohm", kind: none}}\n',
        STEP.format(do="Fit it", more=", fit: [hose]")
        + 'parts: {hose: {name: "Brake pipe of the winch", kind: none}}\n',
        STEP.format(do="Keep clear of the airbag, parking brake set", more=""),
        STEP.format(do="Read the codes of the airbag unit", more=""),
    ],
)
def test_what_the_sheet_declares_to_be_none_and_what_is_harmless_goes_on(problems, body):
    assert problems(body.lstrip("\n"), "handed over") == []


def test_the_whole_message(told):
    body = STEP.format(do="Unbolt the orange cable", more="").lstrip("\n")
    assert told(body, "handed over") == [
        ("stop", 'small.yaml:5: step "work": opens or takes off "orange cable", which belongs to the high-voltage '
         "system. Orange cables can kill even when off; leave them to a trained person. At home you look at lamps and "
         "read the codes; all else is for a trained person. Take it out and hand it over, or write kind: none when "
         "it does not belong to the high-voltage system.")
    ]  # fmt: skip


SUSPECTS = """
suspects:
  part: {part}
tests:
  test: {{name: "{test}", shows: [part], step: work}}
repairs:
  new: {{name: "{repair}", fixes: [part], minutes: "5 min"{watch}}}
steps:
  - {{id: work, do: "Look", zone: top, time: "1 2 3 min"}}
"""


def sheet(part, *, test="Looks wet", repair="Renew it", watch=""):
    return SUSPECTS.format(part=part, test=test, repair=repair, watch=watch).lstrip("\n")


@pytest.mark.parametrize(
    "name", ["Rear wheel cylinder damp", "Tie rod has play", "Drop arm loose", "Fuel feed pipe wet"]
)
def test_a_suspect_that_only_sounds_like_one_is_a_stop_that_one_tap_settles(problems, name):
    first = problems(sheet(f'"{name}"'), "safety part undeclared")[0]
    assert (first.place, first.severity) == ("suspects/part", "stop")
    assert [answer.kind for answer in first.answers] == ["part_is", "part_is"]
    systems = [dict(answer.fields)["system"] for answer in first.answers]
    assert systems[1] == "none"
    assert systems[0] != "none"
    assert dict(first.answers[0].fields)["name"] == name


def test_a_repair_asks_for_itself_unless_its_suspects_were_said(problems):
    undeclared = problems(sheet('"It pulls"', repair="New brake hose"), "safety part undeclared")
    assert [one.place for one in undeclared] == ["repairs/new"]
    said = '{name: "It pulls", kind: brakes}'
    assert problems(sheet(said, repair="New brake hose"), "safety part undeclared") == []


@pytest.mark.parametrize(
    "name",
    ["Ribbed-belt tensioner squeals", "Clutch slave cylinder damp", "Tailgate strut weak", "Fuel gauge sticks",
     "Brake band of the automatic", "Brake lamp bulb", "Alternator gives 15.3 V"],
)  # fmt: skip
def test_a_look_alike_is_not_asked(problems, name):
    found = problems(sheet(f'"{name}"'))
    assert [one for one in found if one.code in OURS] == []


def test_a_repair_and_a_test_that_a_workshop_does_are_stops(problems):
    body = sheet('{name: "Airbag lamp stays on", kind: belts and airbags}', test="Resistance of the igniter's squib",
                 repair="Clock spring renewed")  # fmt: skip
    assert [one.place for one in problems(body, "handed over")] == ["repairs/new", "tests/test"][::-1]


def test_a_repair_that_sounds_like_one_may_not_wait(problems):
    body = sheet('"Brake hose swollen"', watch=', watch: "500 km"')
    assert [one.place for one in problems(body, "safety part watched")] == ["repairs/new/watch"]


def test_a_test_that_measures_is_told_as_one(problems):
    found = problems(sheet('{name: "Lamp stays on", kind: none}', test="Squib out of its limits"), "handed over")
    assert ['measures "squib"' in one.message or 'works on "squib"' in one.message for one in found] == [True]


def test_no_costs_are_weighed_for_such_a_limit(problems):
    body = STEP.format(do="Look", more="") + (
        'limits: {free: {name: "Steering free play", band: "max 10 mm", rule: {wrong_within: 30, wrong_out: 5}}}\n'
    )
    assert [one.place for one in problems(body.lstrip("\n"), "safety limit weighed")] == ["limits/free/rule"]
