"""Entries become events, or problems at their fields; the demo runs to its end."""

import pytest
from tests.refusing import refused

from knowngood.acts.book import may_be_taken_back
from knowngood.acts.job.planning import asks_of
from knowngood.acts.job.run import Standing
from knowngood.acts.job.spent import spent
from knowngood.acts.record.entries import Entry
from knowngood.acts.record.take import take
from knowngood.refusal import Refused

JOB = "job/runs-hot"


@pytest.fixture
def garage(demo_garage):
    return demo_garage


def give(garage, kind, number, stream=JOB, **fields):
    return take(garage, Entry(f"{number:032x}", stream, kind, fields))


def refusal(garage, kind, number=99, stream=JOB, **fields):
    return refused(give, garage, kind, number, stream, **fields)


def test_the_demo_stands_before_the_coil(garage):
    job = garage.job("runs-hot")
    assert job.run.now.id == "measure_coil"
    assert spent(job) == 118
    assert list(job.run.standing).index("measure_coil") == 16


def test_the_same_entry_twice_is_kept_once(garage):
    first = give(garage, "paid", 1, what="rag", amount="2")
    assert give(garage, "paid", 1, what="rag", amount="2") == first
    assert spent(garage.job("runs-hot")) == 120


def test_a_step_that_reads_is_not_done_without_a_reading(garage):
    words = refusal(garage, "step_done", step="measure_coil")
    assert words == {"": "No reading of the Fan relay coil yet. Judge one, or press Can't and say why."}


def test_a_coil_out_of_limits_calls_for_the_relay_and_within_rules_it_out(garage):
    give(garage, "reading_judged", 1, limit="coil", read="100.9 101.2 101.1", zero="0.4", part="48 ± 4")
    assert garage.job("runs-hot").run.standing["new_relay"] is Standing.RULED_OUT
    give(garage, "reading_judged", 2, limit="coil", read="140.1 140.2", zero="0.4", part="48 ± 4")
    assert garage.job("runs-hot").run.standing["new_relay"] is Standing.LATER


def test_undo_takes_back_what_came_with_a_step(garage):
    drain = next(one for one in garage.job("runs-hot").state.done if one.data["step"] == "drain")
    give(garage, "withdrawn", 1, event=drain.id)
    state = garage.job("runs-hot").state
    assert not state.fluids
    assert "drain" not in [one.data["step"] for one in state.done]


def test_an_answer_taken_back_is_taken_back_on_the_vehicle_too(garage):
    answered = next(one for one in garage.store.events(JOB) if one.kind == "answered")
    assert answered.data["ask"] in garage.job("runs-hot").answers
    give(garage, "withdrawn", 1, event=answered.id)
    assert answered.data["ask"] not in garage.job("runs-hot").answers


PAD = {"quantity": "pad_thickness", "limits": "min 3 mm", "read": "5.2 5.1 mm", "odometer": "148400"}


def test_the_odometer_looked_at_with_a_reading_is_the_vehicles(garage):
    before = garage.job("runs-hot").vehicle
    give(garage, "reading_judged", 1, **PAD)
    after = garage.job("runs-hot").vehicle
    assert (before.odometer_km, after.odometer_km) == (148_300.0, 148_400.0)
    assert (after.text, after.driven) == (before.text, before.driven)


def test_a_reading_taken_back_takes_its_odometer_back_too(garage):
    give(garage, "reading_judged", 1, **PAD)
    give(garage, "withdrawn", 2, event=garage.job("runs-hot").readings[-1].id)
    assert garage.job("runs-hot").vehicle.odometer_km == 148_300.0


def test_an_odometer_that_is_no_distance_is_refused_and_nothing_is_kept(garage):
    assert list(refused(give, garage, "reading_judged", 1, **{**PAD, "odometer": "far"})) == ["odometer"]
    assert len(garage.job("runs-hot").readings) == 1


def test_a_step_put_off_lets_the_next_one_come(garage):
    give(garage, "step_put_off", 1, step="measure_coil", why="no light")
    run = garage.job("runs-hot").run
    assert run.standing["measure_coil"] is Standing.PUT_OFF
    assert run.now.id not in (None, "measure_coil")


def test_a_job_is_not_finished_while_something_is_open(garage):
    assert "more are left. Do them or put them off." in refusal(garage, "finished")[""]


MONEY = '"-1" is not an amount of money. Write digits only, from 0 up, such as 46 or 12.50.'
TEN = '"ten" is not an amount of money. Write digits only, from 0 up, such as 46 or 12.50.'
NOTHING = '"0 L" is not an amount of fluid. Write what went, above zero, such as 4.6 L.'
ONE_END = '"max 20 N·m" has one end only. Write the lowest and the highest mark, such as 5..25 N·m.'
WEIGHT = '"3 kg" is a weight, not a torque. Write lbf·in or lbf·ft (or N·m): the two differ by 12 times.'
NOBODY = "That vehicle is not in this garage. Add it on the Bench first."
UNKNOWN = '"dance" is not something that can be kept for job/runs-hot. Reload the page.'
OUT = {"circuit": "coolant", "way": "out", "amount": "0 L"}


@pytest.mark.parametrize(
    ("kind", "stream", "fields", "problem"),
    [
        ("paid", JOB, {"what": "x", "amount": "-1"}, {"amount": MONEY}),
        ("paid", JOB, {"what": "x", "amount": "ten"}, {"amount": TEN}),
        ("fluid_moved", JOB, OUT, {"amount": NOTHING}),
        ("noted", "toolbox", {}, {"text": "Nothing is written here. Write what you noticed, or add a photo."}),
        ("wrench_added", "toolbox", {"name": "w", "range": "max 20 N·m"}, {"range": ONE_END}),
        ("vehicle_named", "vehicle/x", {}, {"name": "Nothing is written here. Write what you call the vehicle."}),
        ("job_opened", "job/y", {"vehicle": "nobody"}, {"vehicle": NOBODY}),
        ("dance", JOB, {}, {"": UNKNOWN}),
        ("answered", JOB, {"ask": "drain_torque", "typed": "3 kg"}, {"typed": WEIGHT}),
    ],
)
def test_what_cannot_be_used_is_told_at_its_field(garage, kind, stream, fields, problem):
    assert refusal(garage, kind, 98, stream, **fields) == problem


def test_a_new_job_does_not_start_with_stops(garage):
    give(garage, "vehicle_named", 1, "vehicle/second", name="Second")
    give(garage, "job_opened", 2, "job/second", vehicle="second", library="runs_hot", scope="mend")
    words = refusal(garage, "started", stream="job/second")[""]
    assert words.endswith("against starting. Mend each, or write down why you go on all the same.")


def test_a_revised_sheet_keeps_what_was_done_and_changes_what_is_to_come(garage):
    text = garage.job("runs-hot").state.sheet
    give(garage, "sheet_revised", 1, sheet=text.replace("Press the relay home", "Push the relay in"), why="clearer")
    job = garage.job("runs-hot")
    assert job.run.now.id == "measure_coil"
    assert job.sheet.step("relay_in").do == "Push the relay in"
    words = refusal(garage, "sheet_revised", sheet=text.replace("id: stands\n", "id: standz\n"))
    assert words == {"sheet": 'The step "stands" is in the record already. Keep it in the sheet under that id.'}


@pytest.mark.parametrize(("number", "stream"), [("", JOB), ("x" * 32, JOB), ("0" * 32, "job/"), ("0" * 32, "job/../x")])
def test_an_entry_without_a_mark_of_its_own_is_not_kept(garage, number, stream):
    with pytest.raises(Refused, match="has lost its own mark"):
        take(garage, Entry(number, stream, "noted", {"text": "x"}))


def test_only_the_chosen_scope_asks_the_manual(garage):
    give(garage, "vehicle_named", 1, "vehicle/second", name="Second")
    give(garage, "job_opened", 2, "job/second", vehicle="second", library="runs_hot", scope="look")
    asked = asks_of(garage.job("second").sheet, ["look"])
    assert sorted(ask for ask, steps in asked.items() if steps) == ["jacking_points", "undertray_torque"]
    give(garage, "started", 3, "job/second")
    assert refusal(garage, "started", stream="job/second") == {"": "This job has started already. Go on under Now."}


def test_a_pasted_sheet_is_not_called_as_the_one_that_the_list_stands_on(garage):
    text = garage.job("runs-hot").state.sheet
    [opened] = give(garage, "job_opened", 2, "job/third", vehicle="tavrick", sheet=text, library="automatic_gearbox")
    assert opened.data["sheet_file"] == "sheet.yaml"


def test_a_sheet_that_the_library_lacks_is_said(garage):
    words = refusal(garage, "job_opened", stream="job/third", vehicle="tavrick", library="nope")
    assert words == {
        "library": 'Not to be had: the library has no sheet "nope"; it has automatic_gearbox, battery_drain, runs_hot.'
    }


def test_a_doubtful_reading_rules_nothing_out_and_holds_nobody_up(garage):
    give(garage, "reading_judged", 1, limit="coil", read="106 106.1", zero="0.4", part="48 ± 8")
    assert garage.job("runs-hot").newest["coil"].data["judgement"]["verdict"] == "can't tell"
    give(garage, "step_done", 2, step="measure_coil")
    run = garage.job("runs-hot").run
    assert run.standing["new_relay"] is Standing.WAITING
    assert run.now.id == "relay_in"


def test_bolts_loosened_again_after_they_were_signed_are_owed_again(garage):
    assert garage.job("runs-hot").torque_owed("drain_plug")
    give(garage, "bolts_signed", 1, fastener="drain_plug")
    assert not garage.job("runs-hot").torque_owed("drain_plug")
    drained = next(one for one in garage.job("runs-hot").state.done if one.data["step"] == "drain")
    give(garage, "withdrawn", 2, event=drained.id)
    give(garage, "step_done", 3, step="drain")
    assert garage.job("runs-hot").torque_owed("drain_plug")


def test_every_entry_of_a_job_may_be_taken_back(garage):
    rows = may_be_taken_back(garage.job("runs-hot"))
    cost = next(event for event, words in rows if words == "Cost: relay")
    give(garage, "withdrawn", 1, event=cost)
    assert spent(garage.job("runs-hot")) == 99
    assert cost not in dict(may_be_taken_back(garage.job("runs-hot")))


def test_done_on_the_same_round_by_two_phones_is_done_once(garage):
    give(garage, "step_done", 1, step="relay_in", round="1")
    assert give(garage, "step_done", 2, step="relay_in", round="1") == []
    give(garage, "step_done", 3, step="bleed_hot", round="1")
    assert give(garage, "step_done", 4, step="bleed_hot", round="1") == []
    give(garage, "step_done", 5, step="bleed_hot", round="2")
    done = garage.job("runs-hot").run.progress.done
    assert (done.count("relay_in"), done.count("bleed_hot")) == (1, 2)


ALREADY = '"Fill coolant slowly at the cap, up to the tank\'s cold mark" was written down already. '
ALREADY += "Undo it first, then write it with what you add."


def test_the_second_phones_done_that_says_more_is_refused_and_not_dropped(garage):
    give(garage, "step_done", 1, step="refill", round="1", amount="4.6 L")
    assert refusal(garage, "step_done", step="refill", round="1", amount="0.8 L") == {"": ALREADY}


def test_a_step_that_is_done_is_not_put_off(garage):
    words = refusal(garage, "step_put_off", step="park", why="dark")
    assert words[""].endswith("is done already. Undo it first to put it off.")


@pytest.mark.parametrize(
    ("ask", "typed", "words"),
    [
        ("coolant_total", "1e300 L ± 1", "is more than 2000 L: no vehicle holds more"),
        ("coolant_total", "5,300 mL", 'Write "5300 mL" or "5.300 mL"'),
        ("coolant_total", "-5 L", "is not above zero"),
        ("coolant_total", "0 L", "is not above zero"),
        ("drain_torque", ". . . .8 N·m", 'Write "8 N·m" or "0.8 N·m"'),
        ("drain_torque", "0 N·m", "is not above zero"),
    ],
)
def test_an_answer_of_the_manual_that_cannot_be_is_refused_at_its_field(garage, ask, typed, words):
    assert words in refusal(garage, "answered", ask=ask, typed=typed)["typed"]


def test_an_answer_is_kept_as_typed_and_in_plain_digits(garage):
    event = give(garage, "answered", 1, ask="coolant_total", typed="6,200 L ± 0,3")[0]
    assert (event.data["typed"], event.data["answer"]) == ("6,200 L ± 0,3", "6.200 L ± 0.3")
