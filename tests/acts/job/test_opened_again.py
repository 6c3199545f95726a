"""A finished job is opened again as a whole, or not at all."""

import pytest
from tests.acts.job.test_revised import REVISED, SHEET, begun, read
from tests.refusing import refused

from knowngood.acts.book import may_be_taken_back, sections
from knowngood.acts.job.opened_again import FINISHED
from knowngood.acts.job.run_document import document
from knowngood.web.pages.now import now
from knowngood.web.pages.of_job import readings, steps
from knowngood.web.pages.record import book

EARLIER = "2026-11-21T11:00:00+00:00"  # than the end, which the tests' clock puts at noon


@pytest.fixture
def give(garage):
    """A hand on a job that was finished: one reading, one step put off, one done."""
    handed = begun(garage, SHEET)
    read(handed, garage, "81 mA")
    handed("step_put_off", step="fuses", why="no light")
    handed("step_done", step="fit")
    handed("finished")
    return handed


def test_a_finished_job_opens_wholly_or_not(garage, give):
    finish = garage.job("one").state.finished
    done = garage.job("one").state.done[-1].id
    assert refused(give, "withdrawn", event=done) == {"": FINISHED}
    assert refused(give, "step_put_off", step="fuses", why="later") == {"": FINISHED}
    (button,) = now(garage, garage.job("one"), None)["undo_form"]["buttons"]
    assert button["label"] == "Open it again"
    give("withdrawn", event=finish.id)
    job = garage.job("one")
    assert job.state.finished is None
    give("withdrawn", event=done)
    assert garage.job("one").run.now.id == "fit"


def test_an_undo_from_a_phone_that_was_cut_off_before_the_end_does_not_half_open_it(garage, give):
    """It comes in after the end: the phone is told, keeps what it wanted, and can send it once all is open."""
    done, phone = garage.job("one").state.done[-1].id, {"device": "cut off", "happened": EARLIER}
    assert refused(give, "withdrawn", event=done, **phone) == {"": FINISHED}
    assert refused(give, "step_done", step="fuses", **phone) == {"": FINISHED}
    assert garage.job("one").state.done[-1].id == done
    give("withdrawn", event=garage.job("one").state.finished.id)
    give("withdrawn", event=done, **phone)
    assert (garage.job("one").state.finished, garage.job("one").run.now.id) == (None, "fit")


def test_both_together_open_it(garage, give):
    job = garage.job("one")
    give("withdrawn", event=f"{job.state.done[-1].id} {job.state.finished.id}")
    assert garage.job("one").run.now.id == "fit"


@pytest.mark.parametrize("kind", ["started", "planned", "step_done", "step_put_off", "reading_judged"])
def test_nothing_that_the_run_hangs_on_is_taken_back_alone(garage, give, kind):
    [*_, event] = garage.job("one").state.kept(kind)
    assert refused(give, "withdrawn", event=event.id) == {"": FINISHED}
    assert event.id not in dict(may_be_taken_back(garage.job("one")))


def test_the_sheet_of_a_finished_job_is_not_revised(garage, give):
    assert refused(give, "sheet_revised", sheet=REVISED, why="misread") == {"": FINISHED}


def test_a_reading_taken_afterwards_does_not_make_it_live_again(garage, give):
    """It was out and is within now, so that a step is not needed any more; nothing asks for it either way."""
    give("reading_judged", limit="rest", read="20 mA", step="measure")
    give("reading_judged", limit="rest", read="90 mA", step="measure")
    job = garage.job("one")
    page = now(garage, job, None)
    assert (page["step"], page["drawn"], page["nothing"]["title"]) == (None, [], "Finished")
    assert document(job, made=garage.now())["now"] is None
    assert "Finished." in dict(sections(job))["As left"]


def test_no_page_of_a_finished_job_offers_to_take_back_its_work(garage, give):
    job = garage.job("one")
    assert [row.get("form") for row in steps(garage, job, None)["steps"]] == [None, None, None]
    assert [row["undo"] for row in readings(garage, job, None)["judged"]] == [None]
    (button,) = now(garage, job, None)["undo_form"]["buttons"]
    assert button["label"] == "Open it again"
    assert job.state.finished.id not in dict(may_be_taken_back(job))
    assert steps(garage, job, None)["revise_form"] is None
    [opens] = [one for one in book(garage, job, None)["forms"] if one["summary"] == "Open it again"]
    give("withdrawn", event=opens["hidden"]["event"])
    assert "Open it again" not in [one["summary"] for one in book(garage, garage.job("one"), None)["forms"]]
