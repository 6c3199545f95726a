"""From the first plug to the last: the fluid's warmth is evidence, and outside its window Done asks once."""

from datetime import timedelta

import pytest
from tests.acts.test_gearbox_job import mechanic
from tests.garages import NOW, opened
from tests.refusing import refused

from knowngood.acts import book
from knowngood.acts.fluids.at_window import counts_at, followed_at, span_of, window_over
from knowngood.acts.fluids.level import level_told
from knowngood.web.parts.window_panel import rings, window_panel

SPAN = ["follow_warmth", "open_overflow", "add_fluid", "close_overflow"]
# The gearbox's own window in these tests is 35 to 45 °C.
COLD = {"window": "all_the_same"}


class Clock:
    """The computer's clock, set forward by hand."""

    def __init__(self):
        self.now = NOW

    def __call__(self):
        return self.now

    def wait(self, minutes):
        self.now += timedelta(minutes=minutes)


@pytest.fixture
def clock():
    return Clock()


@pytest.fixture
def worker(tmp_path, clock):
    """A mechanic whose gearbox idles, before the first temperature."""
    with opened(tmp_path / "own", clock=clock) as garage:
        made = mechanic(garage, "fluid")
        made.give("started")
        while (step := made.job.run.now).id != "follow_warmth":
            made.do(step)
        yield made


def read(worker, clock, *celsius):
    for one in celsius:
        worker.give("temperature_read", circuit="gearbox", celsius=str(one))
        clock.wait(2.0)


def done(worker, step, **fields):
    worker.give("step_done", step=step, **fields)


def test_the_steps_between_follow_from_what_opens_and_what_closes(worker):
    job = worker.job
    assert span_of(job, "gearbox") == SPAN
    assert [step.id for step in job.sheet.steps if followed_at(job, step)] == SPAN
    assert [step.id for step in job.sheet.steps if counts_at(job, step)] == SPAN[1:]


def test_the_panel_and_the_bell_stand_at_every_step_of_it_and_end_with_it(worker, clock):
    read(worker, clock, 24.5, 28, 30.5)
    assert rings(worker.job)
    done(worker, "follow_warmth")
    assert not window_over(worker.job, "gearbox")
    done(worker, "open_overflow", choice="ran", celsius="38", again="38")
    assert window_panel(worker.garage, worker.job, "gearbox", "/", None)["told"]
    done(worker, "close_overflow")
    assert window_over(worker.job, "gearbox")
    assert rings(worker.job) == []
    assert window_panel(worker.garage, worker.job, "gearbox", "/", None)["told"] is None


def test_an_engine_that_is_off_warms_nothing(worker, clock):
    read(worker, clock, 24.5, 28, 30.5)
    worker.give("stands_now", words="The engine is off", ends="running(engine)")
    assert not window_over(worker.job, "gearbox")  # it is switched on anew: its steps come again
    assert worker.job.run.now.id == "engine_on"


def test_a_plug_opened_too_cold_is_asked_about_once_and_the_choice_is_kept(worker, clock):
    read(worker, clock, 24.5, 28, 30.5, 33)
    done(worker, "follow_warmth")
    words = refused(worker.give, "step_done", step="open_overflow", choice="ran")["window"]
    assert words.startswith("33 °C at ")
    assert "35–45 °C" in words
    assert words.endswith("Read it again, or say how it is.")
    done(worker, "open_overflow", choice="ran", **COLD)
    kept = worker.job.state.done[-1].data["window"]
    assert (kept["circuit"], kept["choice"]) == ("gearbox", "all_the_same")
    assert "choice" in refused(worker.give, "step_done", step="close_overflow", window="never")["window"]


def test_too_warm_is_asked_about_as_well_and_a_temperature_typed_with_done_is_kept(worker, clock):
    read(worker, clock, 36, 40)
    done(worker, "follow_warmth")
    done(worker, "open_overflow", choice="ran", celsius="44")
    clock.wait(1.0)
    words = refused(worker.give, "step_done", step="close_overflow", celsius="49.5")["window"]
    assert words.startswith("49.5 °C: that is above its window of 35–45 °C, so too little stays in")
    done(worker, "close_overflow", celsius="49.5", **COLD)
    assert worker.job.state.temperatures[-1].data["typed"] == "49.5 °C"


def test_an_old_temperature_says_nothing_of_now(worker, clock):
    read(worker, clock, 36, 36.1, 36.2)
    done(worker, "follow_warmth")
    clock.wait(12.0)
    words = refused(worker.give, "step_done", step="open_overflow", choice="ran")["window"]
    assert "too long ago to say that it still is" in words
    done(worker, "open_overflow", choice="ran", celsius="38")


@pytest.mark.published("API MPMS 11.1, by hand: 8.5 L of 850 kg/m3 set at 33 °C for 40 °C end .0452 L over")
def test_a_level_set_too_cold_is_over_by_what_warmth_makes_of_it(worker, clock):
    read(worker, clock, 24.5, 28, 30.5, 33)
    done(worker, "follow_warmth")
    done(worker, "open_overflow", choice="ran", **COLD)
    assert level_told(worker.job, "gearbox").error.litre.value == pytest.approx(0.0452, abs=0.00005)
    done(worker, "close_overflow", **COLD)
    told = level_told(worker.job, "gearbox")
    assert told.error.temperature_l.value == pytest.approx(0.0452, abs=0.00005)
    assert "At 33 °C it is 2 K below its window of 35–45 °C: about 0.045 L too much stays in" in told.data["sentence"]
    assert not any("in the window" in row for row in told.data["assumed"])


def test_a_level_set_too_warm_is_short(worker, clock):
    read(worker, clock, 40)
    done(worker, "follow_warmth")
    done(worker, "open_overflow", choice="ran")
    done(worker, "close_overflow", celsius="60", again="60", **COLD)
    told = level_told(worker.job, "gearbox")
    assert told.error.temperature_l.value == pytest.approx(-8.5 * 20.0 * 7.4e-4, rel=0.05)
    assert "too little stays in" in told.data["sentence"]


def test_without_any_temperature_nobody_is_asked_and_the_doubt_is_wide_and_told(worker):
    before = level_told(worker.job, "gearbox").error.temperature_l.standard_uncertainty
    done(worker, "follow_warmth")
    done(worker, "open_overflow", choice="ran")
    done(worker, "close_overflow")
    told = level_told(worker.job, "gearbox")
    assert told.error.temperature_l.standard_uncertainty == pytest.approx(3.0 * before, rel=0.05)  # ± 15 K beside ± 5
    assert "fluid at any warmth, for nobody read it when the level was set" in told.data["assumed"]


def test_the_book_says_at_what_temperature_it_was_opened_and_closed(worker, clock):
    read(worker, clock, 24.5, 28, 30.5, 33)
    done(worker, "follow_warmth")
    done(worker, "open_overflow", choice="ran", **COLD)
    done(worker, "close_overflow", celsius="40", again="40")
    rows = [words for words in dict(book.sections(worker.job))["Fluids"] if "window 35–45 °C" in words]
    opened_at, closed_at = rows
    assert ": at 33 °C, read 2 min before, window 35–45 °C. Said then: do it all the same." in opened_at
    assert ": at 40 °C, window 35–45 °C." in closed_at


@pytest.mark.parametrize(("first", "second", "seconds"), [(44, 20, 10), (20, 44, 10), (20, -5, 50)])
def test_a_temperature_that_no_fluid_can_have_so_soon_is_asked_about_once(worker, clock, first, second, seconds):
    read(worker, clock, first)
    clock.wait(seconds / 60.0 - 2.0)
    words = refused(worker.give, "temperature_read", circuit="gearbox", celsius=str(second))
    assert (
        f"{abs(second - first)} K {'warmer' if second > first else 'colder'} than {first} °C, within {seconds} s"
        in words["again"]
    )
    refused(worker.give, "temperature_read", circuit="gearbox", celsius=str(second), again="19")
    refused(worker.give, "temperature_read", circuit="gearbox", celsius=str(second), again="so")
    worker.give("temperature_read", circuit="gearbox", celsius=str(second), again=str(second))
    assert worker.job.state.temperatures[-1].data["celsius"] == second


def test_one_entered_late_is_held_against_those_around_it(worker, clock):
    read(worker, clock, 24, 26, 28)
    assert "again" in refused(worker.give, "temperature_read", circuit="gearbox", celsius="60", ago="3 min")
    worker.give("temperature_read", circuit="gearbox", celsius="27", ago="3 min")


def test_what_warms_as_fluids_do_is_not_asked_about(worker, clock):
    read(worker, clock, 20, 35, 55)
    worker.give("temperature_read", circuit="gearbox", celsius="49", read_with="infrared")


def test_a_phone_whose_clock_is_wrong_is_asked_by_the_computers_clock(worker, clock):
    wrong = timedelta(days=-3)
    for celsius in ("24", "30"):
        happened = (clock.now + wrong).isoformat()
        worker.give("temperature_read", device="phone", happened=happened, circuit="gearbox", celsius=celsius)
        clock.wait(2.0)
    worker.give("temperature_read", circuit="gearbox", celsius="36")
    soon = {"device": "phone", "happened": (clock.now + wrong).isoformat(), "circuit": "gearbox"}
    assert "again" in refused(worker.give, "temperature_read", celsius="60", **soon)
