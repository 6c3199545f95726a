"""The pages say the cautions of a step, and ask once what hangs on the vehicle."""

import pytest
from tests.garages import giving

LOWER = "Check that nobody and nothing is under the car before you lower it."
BLEED = "The belt turns, the fan can start by itself and parts are hot: keep hands, sleeves and hair clear."


@pytest.fixture
def give(home):
    give = giving(home.garage, "job/own")
    give("vehicle_named", "vehicle/own", name="Own")
    give("vehicle_named", "vehicle/other", name="Other")
    give("job_opened", vehicle="own", library="runs_hot")
    return give


def test_steps_and_the_phones_copy_say_them(give, home, computer):
    for ask in home.garage.job("own").sheet.asks:
        give("answered", ask=ask, silent="yes")
    give("started")
    assert all(words in computer.get("/job/own/steps").text for words in (LOWER, BLEED))
    now = computer.get("/job/own/now").text  # each step's card is drawn there and put aside
    assert all(words in now for words in (LOWER, BLEED))


def test_a_step_that_is_done_says_nothing_any_more_under_steps(give, home, computer):
    for ask in home.garage.job("own").sheet.asks:
        give("answered", ask=ask, silent="yes")
    give("started")
    first = "If it has start-stop or is a hybrid"
    before = computer.get("/job/own/steps").text.count(first)  # once in the list, once in what the phone goes on from
    for step in ("park", "note_codes"):
        give("step_done", step=step)
    give("reading_judged", limit="battery", read="12.5 V", step="battery_reading")
    give("step_done", step="battery_reading")
    assert computer.get("/job/own/steps").text.count(first) == before - 1


def test_before_the_start_it_is_asked_once(give, computer):
    page = computer.get("/job/own/start").text
    assert "About the vehicle, if you know it" in page
    assert all(f'name="{one}"' in page for one in ("air_suspension", "start_stop", "hybrid"))
    give("described", "vehicle/own", air_suspension="not known", hybrid="no")
    page = computer.get("/job/own/start").text
    assert [f'name="{one}"' in page for one in ("air_suspension", "start_stop", "hybrid")] == [False, True, False]
    give("described", "vehicle/own", start_stop="no")
    assert "About the vehicle" not in computer.get("/job/own/start").text


def test_each_vehicle_is_described_on_its_page(give, computer):
    assert all('value="described"' in computer.get(f"/vehicle/{one}").text for one in ("own", "other"))
    give("described", "vehicle/other", start_stop="yes", hybrid="no")
    assert "<b>Other</b><span>start-stop</span>" in computer.get("/").text
