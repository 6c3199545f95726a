"""What is weighed from typed words and the sheet, what is told of it, and what an event keeps."""

import pytest
from tests.garages import giving
from tests.refusing import refused

from knowngood.acts import book
from knowngood.acts.faults.cover_decision import weigh
from knowngood.acts.faults.cover_inputs import Known
from knowngood.acts.faults.cover_words import price_words
from knowngood.acts.faults.doubtful_parts import Doubtful, doubtful_parts, way_minutes
from knowngood.acts.faults.known_part import known_in_job, parts_in_reach
from knowngood.acts.faults.part_typed import chance_of
from knowngood.acts.job.planning import read_sheet
from knowngood.engine.troubleshooting.model.amounts import Chance, Price
from knowngood.engine.troubleshooting.model.safety import SafetyKind
from knowngood.engine.troubleshooting.worth.cover_decision import Option

SHEET = """
sheet: 1
id: valve
title: "Valve"
suspects:
  valve: "Valve sticks"
  hose: {name: "Brake hose swollen", kind: brake hose}
  plug: "Plug loose"
tests:
  tap: {name: "Tap it", shows: [valve], minutes: "3 min"}
repairs:
  new_valve: {name: "New valve", fixes: [valve], step: fit, money: 30}
  new_hose: {name: "New hose", fixes: [hose], cover: pan, money: 40, minutes: "20 min"}
  new_plug: {name: "New plug", fixes: [plug], cover: pan, money: 5, minutes: "2 min", watch: "500 km"}
covers:
  pan: {name: "Pan", fact: off(pan), money: 12}
steps:
  - {id: open, do: "Pan off", zone: under, time: "10 20 30 min", makes: [off(pan)]}
  - id: choose
    do: "Decide about the valve"
    zone: under
    time: "1 1 2 min"
    needs: [off(pan)]
    decide:
      id: renew
      question: "What is it to be?"
      choices: {"yes": "A new one", "no": "Keep it"}
      about: {suspect: valve, cover: pan}
  - {id: fit, do: "New valve", zone: under, time: "2 5 9 min", when: {decided: renew}, needs: [off(pan)]}
  - {id: close, do: "Pan on", zone: under, time: "20 30 50 min", needs: [off(pan)], ends: [off(pan)], after: [choose]}
"""


@pytest.fixture
def give(garage):
    one = giving(garage, "job/one")
    one("vehicle_named", "vehicle/van", name="van")
    one("described", "vehicle/van", odometer="90000 km")
    one("job_opened", vehicle="van", sheet=SHEET, quote="400")
    one("started")
    return one


def test_the_sheet_says_what_each_part_takes():
    parts = doubtful_parts(read_sheet(SHEET, "valve.yaml").sheet)
    assert list(parts) == ["renew", "new_hose", "new_plug"]
    valve = parts["renew"]
    assert (valve.name, valve.replace, valve.again) == ("Valve sticks", Price(30.0, 5.0), Price(12.0, 50.0))
    assert valve.test[0] == "Tap it"
    assert parts["new_hose"].kind == "brakes"
    assert parts["new_plug"].watch == "500 km"


def test_without_a_cover_the_way_in_is_the_steps_on_it():
    sheet = read_sheet(SHEET, "valve.yaml").sheet
    assert way_minutes(sheet, sheet.step("choose")) == 50.0


def test_a_part_is_in_reach_once_its_cover_is_off(garage, give):
    assert parts_in_reach(garage, garage.job("one")) == []
    give("step_done", step="open")
    assert [one.key for one in parts_in_reach(garage, garage.job("one"))] == ["renew", "new_hose", "new_plug"]


def test_what_was_typed_counts_before_what_the_sheet_says(garage, give):
    give("step_done", step="open")
    give("part_weighed", about="renew", part="46", damage="40", probability="41 %")
    decision = known_in_job(garage, garage.job("one"), "valve")
    assert decision.quote == Price(400.0)
    assert decision.odometer_km == 90000.0
    told = refused(give, "part_weighed", about="renew", part="cheap")
    assert told == {"part": '"cheap" is not an amount of money. Write digits only, from 0 up, such as 46 or 12.50.'}
    assert "renew" in refused(give, "part_weighed", about="pump")["about"]
    wrong = {"probability": "150 %", "part": "cheap", "life": "0 km", "test": "80 %"}
    assert refused(give, "part_weighed", about="renew", **wrong).keys() == wrong.keys()


def test_a_decision_keeps_the_advice_beside_the_persons_own_reason(garage, give):
    give("step_done", step="open")
    give("step_done", step="choose", choice="no", why="none to be had today")
    job = garage.job("one")
    [event] = job.state.decisions
    assert event.data["advice"] in set(Option)
    words = dict(book.sections(job))["Decided"]
    told = f"What is it to be? Keep it. none to be had today. Advised: {event.data['advice_words']}"
    assert words == [f"{told} (21 November 2026, 12:00)"]


def test_what_is_left_in_is_watched(garage, give):
    give("step_done", step="open")
    give("step_done", step="choose", choice="no")
    give("decided", decision="new_plug", choice="watch")
    watches = [(event.data["what"], event.data["until"]) for event in garage.job("one").state.watches]
    assert watches == [("Valve sticks", "it shows again"), ("Plug loose", "500 km more (at 90 500 km)")]


def test_taking_the_decision_back_takes_its_watch_back(garage, give):
    give("step_done", step="open")
    [first, *_] = give("decided", decision="new_plug", choice="watch")
    give("withdrawn", event=first.id)
    job = garage.job("one")
    assert job.state.decisions == []
    assert job.state.watches == []


def test_a_part_that_safety_hangs_on_is_never_watched(garage, give):
    give("step_done", step="open")
    says = refused(give, "decided", decision="new_hose", choice="watch")["choice"]
    assert says.startswith("Brakes: a part in doubt is replaced, or handed over to a mechanic; do not drive on it.")
    give("decided", decision="new_hose", choice="hand_over")
    assert garage.job("one").state.decisions[0].data["advice"] == "replace now"


def test_a_choice_that_there_is_not_is_refused(give):
    give("step_done", step="open")
    assert refused(give, "decided", decision="new_plug", choice="later") == {
        "choice": '"later" is no choice here. Take replace or test or watch or hand_over.'
    }


def test_a_chance_that_straddles_a_flip_is_told_as_not_settled():
    known = Known(Doubtful("part", "Part"), Chance(0.2, 0.1, 0.4), hour=0.0)
    told = weigh(known, {"part": "35", "again": "160", "damage": "120"})
    assert told.sentence == (
        "Replace it now: 38 against 63 expected later. The answer flips below 12 %; the tests so far say 20 %. "
        "That is not settled: between 10 % and 40 % it goes from close and watch to replace now."
    )


def test_what_is_assumed_is_told_with_whether_it_matters():
    sure = weigh(Known(Doubtful("part", "Part"), Chance(0.99), hour=10.0), {"part": "5", "again": "500"})
    assert sure.holds
    assert sure.assumed == (
        "a tow or damage costs 20 if it fails first",
        "1 in 100 new parts, or their fitting, are bad",
    )
    assert not weigh(Known(Doubtful("part", "Part"), Chance(0.35), hour=10.0), {}).holds


def test_nothing_about_a_safety_part_is_read():
    told = weigh(Known(Doubtful("hose", "Hose", kind=SafetyKind.BRAKES)), {"part": "not a number"}, own_work=False)
    assert told.advice is Option.HAND_OVER
    assert told.counted == ""


@pytest.mark.parametrize(
    ("text", "chance"),
    [
        ("40 %", Chance(0.4)),
        ("40", Chance(0.4)),
        ("30..50 %", Chance(0.4, 0.3, 0.5)),
        ("4 of 10", Chance(0.4, 0.3, 0.5)),
        ("0 %", Chance(0.0)),
    ],
)
def test_a_chance_is_read_as_people_write_it(text, chance):
    assert chance_of("probability", text) == chance


@pytest.mark.parametrize("text", ["likely", "140 %", "-3 %", "12 of 10", "some of 10", "50..30 %", "3 km"])
def test_what_is_no_chance_is_refused_at_its_field(text):
    assert list(refused(chance_of, "probability", text)) == ["probability"]


def test_money_and_minutes_are_told_apart():
    assert price_words(Price(12.5, 90.0)) == "12.50, 90 min"
