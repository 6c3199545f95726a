"""An answer of the manual belongs to sheet, question, words and kind; another sheet is offered what both declare."""

import itertools

import pytest
from tests.garages import giving, keep_old
from tests.refusing import refused

from knowngood.acts.book import may_be_taken_back
from knowngood.acts.job.problems import open_problems
from knowngood.sheet import library
from knowngood.sheet.reader import read

LIKE = {
    "torque": "7 N·m ± 1", "volume": "5 L ± 0.3", "limits": "11..15 ohm", "temperature": "41 °C",
    "temperatures": "35..45 °C", "length": "200 mm ± 20", "density": "850 kg/m³", "words": "so and so",
}  # fmt: skip


def small(sheet="first", ask="drain_torque", question="Torque of the drain plug", answer="torque", same_as=None):
    """A sheet that drains, and asks one thing behind that."""
    shared = f", same_as: {same_as}" if same_as else ""
    return f"""sheet: 1
id: {sheet}
title: "Sheet {sheet}"
start: [parked, drivable, proven(cap)]
asks: {{{ask}: {{question: "{question}", answer: {answer}, like: "{LIKE[answer]}"{shared}}}}}
circuits: {{oil: {{name: Oil, fluid: engine oil, holds: "5 L", refill: cap}}}}
steps:
  - {{id: drain, do: Drain, zone: top, time: "1 2 3 min", drain: oil, ask: [{ask}]}}
"""


@pytest.fixture
def give(garage):
    handed = giving(garage)
    handed("vehicle_named", "vehicle/own", name="Own")
    return handed


@pytest.fixture
def opened(garage, give):
    """opened(name, sheet): a job of that name from a sheet, on the one vehicle."""

    def open_(name, sheet):
        give("job_opened", f"job/{name}", vehicle="own", sheet=sheet)
        return f"job/{name}"

    return open_


def answer(give, job, typed="26 N·m", ask="drain_torque", **more):
    return give("answered", job, ask=ask, typed=typed, **more)


# --- the demo's radiator plug, and the gearbox on the same vehicle ---------------------------------------------------


def test_the_radiator_plugs_torque_does_not_go_to_the_gearbox(demo_garage):
    giving(demo_garage)("job_opened", "job/box", vehicle="tavrick", library="automatic_gearbox")
    job = demo_garage.job("box")
    assert demo_garage.job("runs-hot").answers["drain_torque"] == "3 N·m ± 0.5"
    assert "drain_torque" not in job.manual
    assert job.torque_text("drain_plug") == "the manual's torque, not looked up"
    assert job.answers == {}


PAIRS = list(itertools.permutations(("automatic_gearbox", "battery_drain", "runs_hot"), 2))


@pytest.mark.parametrize(("first", "second"), PAIRS)
def test_no_shipped_sheet_answers_another_one(garage, give, first, second):
    give("job_opened", "job/first", vehicle="own", library=first)
    give("job_opened", "job/second", vehicle="own", library=second)
    asks, others = (garage.job(name).sheet.asks for name in ("first", "second"))
    for name, ask in asks.items():
        answer(give, "job/first", LIKE[ask.answer], name)
    job = garage.job("second")
    declared = {ask.same_as for ask in asks.values()} - {None}
    assert set(job.manual) == {name for name, ask in others.items() if ask.same_as in declared}
    assert job.answers == {}
    assert set(garage.job("first").answers) == set(asks)


def test_what_the_shipped_sheets_have_in_common_is_offered_and_nothing_else():
    sheets = [read(library.text(name), file=name).sheet for name in ("runs_hot", "automatic_gearbox")]
    hot, gearbox = ({ask.same_as for ask in sheet.asks.values()} - {None} for sheet in sheets)
    assert hot & gearbox == {"jacking_point(front)", "torque(undertray)"}


# --- what an answer belongs to --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("other", "typed"),
    [
        ({"sheet": "second"}, "26 N·m"),
        ({"ask": "plug_torque"}, "26 N·m"),
        ({"question": "Torque of the radiator's drain plug"}, "26 N·m"),
        ({"answer": "words"}, "26 N·m"),
        ({"sheet": "second", "same_as": "torque(engine_oil.drain)"}, "26 N·m"),
    ],
)
@pytest.mark.parametrize("silent", ["", "yes"])
def test_another_question_is_asked_anew_though_it_looks_the_same(garage, give, opened, other, typed, silent):
    answer(give, opened("first", small()), "" if silent else typed, silent=silent)
    opened("second", small(**other))
    job = garage.job("second")
    assert (job.manual, job.answers) == ({}, {})
    assert "open question" in [one.code for one in open_problems(garage, job)]


def test_the_same_sheet_on_the_same_vehicle_knows_it_and_says_from_where(garage, give, opened):
    answer(give, opened("first", small()))
    opened("second", small())
    known = garage.job("second").manual["drain_torque"]
    assert (known.value, known.origin) == ("26 N·m", 'from the job of 21 November 2026, "Sheet first"')
    assert garage.job("second").answers == {"drain_torque": "26 N·m"}
    assert garage.job("first").manual["drain_torque"].origin == "written in this job on 21 November 2026"


def test_another_vehicle_knows_nothing(garage, give, opened):
    answer(give, opened("first", small()))
    give("vehicle_named", "vehicle/other", name="Other")
    give("job_opened", "job/second", vehicle="other", sheet=small())
    assert garage.job("second").manual == {}


def test_it_is_corrected_in_the_second_job_and_the_first_keeps_its_own(garage, give, opened):
    answer(give, opened("first", small()))
    answer(give, opened("second", small()), "25 N·m")
    opened("third", small())
    assert [garage.job(one).answers["drain_torque"] for one in ("first", "second", "third")] == [
        "26 N·m", "25 N·m", "25 N·m",
    ]  # fmt: skip


def test_taken_back_in_the_first_it_is_open_in_the_second(garage, give, opened):
    [said, _] = answer(give, opened("first", small()))
    opened("second", small())
    give("withdrawn", "job/first", event=said.id)
    assert garage.job("second").manual == {}


def test_a_question_that_a_revision_changes_is_asked_again(garage, give, opened):
    answer(give, opened("first", small()))
    give("sheet_revised", "job/first", sheet=small(question="Torque of the fill plug"))
    assert garage.job("first").answers == {}
    give("sheet_revised", "job/first", sheet="# moved\n" + small())
    assert garage.job("first").answers == {"drain_torque": "26 N·m"}


# --- what both sheets declare to be the same ------------------------------------------------------------------------

THING = "torque(engine_oil.drain)"


@pytest.fixture
def offered(garage, give, opened):
    """A second sheet that is offered what the first was told, to other words under another name."""
    answer(give, opened("first", small(same_as=THING)))
    return opened("second", small("second", "plug", "Torque of the sump's plug", same_as=THING))


def test_what_is_declared_the_same_is_offered_and_does_not_count_yet(garage, offered):
    job = garage.job("second")
    known = job.manual["plug"]
    assert (known.value, known.counts, known.said.question.words) == ("26 N·m", False, "Torque of the drain plug")
    assert job.answers == {}


def test_one_that_nobody_confirmed_stops_the_start_like_an_open_one(garage, give, offered):
    assert [one.code for one in open_problems(garage, garage.job("second"))] == ["open question"]
    assert "against starting" in refused(give, "started", offered)[""]
    answer(give, offered, "", "plug", still=garage.job("second").manual["plug"].said.id)
    assert open_problems(garage, garage.job("second")) == []
    give("started", offered)


def test_still_right_makes_it_an_answer_of_this_job(garage, give, offered):
    old = garage.job("second").manual["plug"].said
    [event, of_vehicle] = answer(give, offered, "26 N·m", "plug", still=old.id)
    known = garage.job("second").manual["plug"]
    assert (known.value, known.here, known.counts) == ("26 N·m", True, True)
    assert (event.data["confirms"], event.data["answer"]) == (old.id, "26 N·m")
    assert (of_vehicle.stream, of_vehicle.data["sheet"]) == ("vehicle/own", "second")
    give("withdrawn", offered, event=event.id)
    assert not garage.job("second").manual["plug"].counts


def test_it_is_corrected_in_its_field(garage, give, offered):
    answer(give, offered, "24 N·m", "plug")
    assert garage.job("second").answers == {"plug": "24 N·m"}
    assert garage.job("first").answers == {"drain_torque": "26 N·m"}


def test_a_newer_word_on_the_same_thing_is_offered_before_an_older_one_counts(garage, give, opened, offered):
    answer(give, offered, "24 N·m", "plug")
    opened("third", small(same_as=THING))
    known = garage.job("third").manual["drain_torque"]
    assert (known.value, known.counts) == ("24 N·m", False)


def test_a_silent_manual_is_offered_too(garage, give, opened):
    answer(give, opened("first", small(same_as=THING)), "", silent="yes")
    second = opened("second", small("second", same_as=THING))
    known = garage.job("second").manual["drain_torque"]
    assert (known.value, known.counts) == ("your manual does not say", False)
    answer(give, second, "", still=known.said.id)
    assert garage.job("second").answers == {"drain_torque": None}


def test_a_confirmation_of_what_is_no_longer_there_is_refused(garage, give, offered):
    old = garage.job("second").manual["plug"].said.id
    answer(give, "job/first", "22 N·m")
    words = "Another answer to this question has come in meanwhile. Reload the page, and look at that one."
    assert refused(answer, give, offered, "26 N·m", "plug", still=old) == {"": words}
    assert refused(answer, give, "job/first", "", still="0" * 32) == {"": words}


def test_what_was_typed_over_it_is_not_lost_to_still_right(garage, give, offered):
    old = garage.job("second").manual["plug"].said.id
    assert refused(answer, give, offered, "24 N·m", "plug", still=old) == {
        "typed": 'You wrote "24 N·m", and "Still right" is about "26 N·m". To correct it, press "Keep it".'
    }


# --- an empty field is no answer ------------------------------------------------------------------------------------


def test_an_empty_field_is_refused(garage, give, opened):
    job = opened("first", small())
    assert refused(answer, give, job, "") == {
        "typed": "Nothing is written here. Write what your manual says, such as 7 N·m ± 1, or press "
        '"My manual does not say".'
    }
    assert garage.job("first").answers == {}


def test_a_silent_manual_has_a_button_of_its_own(garage, give, opened):
    [event, _] = answer(give, opened("first", small()), "", silent="yes")
    assert garage.job("first").answers == {"drain_torque": None}
    assert (event.data["typed"], event.data["answer"]) == ("", None)


def test_what_was_typed_is_not_lost_to_a_slip_on_that_button(garage, give, opened):
    job = opened("first", small())
    assert refused(answer, give, job, "26 N·m", silent="yes") == {
        "typed": 'You wrote "26 N·m" here, and pressed "My manual does not say". Empty the field first, or press '
        '"Keep it".'
    }
    answer(give, job, "26 N·m")
    answer(give, job, "26 N·m", silent="yes")  # what stood in the field already is nobody's typing
    assert garage.job("first").answers == {"drain_torque": None}


def test_a_vehicle_is_not_told_an_answer_without_its_question(garage, give):
    assert list(refused(give, "answered", "vehicle/own", ask="drain_torque", typed="3 N·m")) == [""]


def test_the_book_names_question_and_value_where_it_is_taken_back(garage, give, opened):
    job = opened("first", small())
    [event, _] = answer(give, job)
    assert dict(may_be_taken_back(garage.job("first")))[event.id] == "Your manual: Torque of the drain plug: 26 N·m"
    [event, _] = answer(give, job, "", silent="yes")
    assert dict(may_be_taken_back(garage.job("first")))[event.id].endswith("plug: does not say")


# --- answers that an older program kept by their short name ---------------------------------------------------------


def old(garage, job, number=900, ask="drain_torque", typed="26 N·m"):
    """As kept by the program before: in the job and, with the entry's id, for the vehicle."""
    data = {"ask": ask, "typed": typed, "answer": typed or None}
    [event] = keep_old(garage, number, "answered", job, **data)
    keep_old(garage, number + 1, "answered", "vehicle/own", **data, **{"with": event.id})
    return event


@pytest.mark.parametrize("typed", ["26 N·m", ""])
def test_an_old_answer_counts_in_its_job_and_for_its_sheet(garage, opened, typed):
    old(garage, opened("first", small()), typed=typed)
    opened("second", small())
    for name in ("first", "second"):
        assert garage.job(name).answers == {"drain_torque": typed or None}
    assert garage.job("second").manual["drain_torque"].origin.endswith('"Sheet first"')


def test_an_old_answer_goes_to_no_other_sheet(garage, opened):
    old(garage, opened("first", small()))
    opened("second", small("second"))
    assert garage.job("second").manual == {}


def test_an_old_answer_of_a_job_that_took_it_from_another_sheet_is_asked_again(garage, opened):
    # The older program never asked in the second job: it had none of its own.
    old(garage, opened("first", small(question="Torque of the radiator's drain plug")))
    opened("second", small("box", question="Torque of the gearbox's drain plug"))
    assert garage.job("second").answers == {}


def test_an_old_answer_that_names_no_job_is_asked_again(garage, opened):
    opened("first", small())
    data = {"ask": "drain_torque", "typed": "26 N·m", "answer": "26 N·m"}
    keep_old(garage, 900, "answered", "vehicle/own", **data)
    keep_old(garage, 901, "answered", "vehicle/own", **data, **{"with": "f" * 32})
    assert garage.job("first").manual == {}


def test_an_old_answer_belongs_to_the_question_that_was_asked_then(garage, give, opened):
    job = opened("first", small())
    old(garage, job)
    give("sheet_revised", job, sheet=small(question="Torque of the fill plug"))
    assert garage.job("first").answers == {}
    old(garage, job, 910, typed="30 N·m")
    assert garage.job("first").answers == {"drain_torque": "30 N·m"}
    opened("second", small())
    assert garage.job("second").answers == {"drain_torque": "26 N·m"}


def test_an_old_answer_to_what_the_sheet_never_asked_is_left_alone(garage, opened):
    old(garage, opened("first", small()), ask="gone")
    assert garage.job("first").manual == {}
    assert len(garage.job("first").state.kept("answered")) == 1


def test_an_old_answer_is_taken_back_by_its_entry(garage, give, opened):
    event = old(garage, opened("first", small()))
    opened("second", small())
    give("withdrawn", "job/first", event=event.id)
    assert garage.job("second").manual == {}
