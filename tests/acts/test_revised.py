"""A revision stands in the book with its reason; readings judged before it are marked and decide nothing until anew."""

import pytest
from tests.garages import giving, go_on_all_the_same
from tests.refusing import refused

from knowngood.acts.book import sections
from knowngood.acts.record_job import FINISHED
from knowngood.acts.revised import as_typed, outdated, revised_words
from knowngood.acts.run import Standing
from knowngood.acts.run_document import document
from knowngood.acts.spent import costs_of, spent
from knowngood.report.fill import book_data
from knowngood.web.page_now import now

SHEET = """sheet: 1
id: drain
title: "Drain"
parts: {relay: {name: "starter relay", count: 2}}
limits: {rest: {name: "Current at rest", band: "max 50 mA", decides: "look through the fuses"}}
steps:
  - {id: measure, do: "Measure", zone: top, time: "1 2 3 min", read: [rest]}
  - {id: fuses, do: "Look through the fuses", zone: top, time: "1 2 3 min", after: [measure],
     when: {limit: rest, is: out}}
  - {id: fit, do: "Fit the relay", zone: top, time: "1 2 3 min", fit: [relay], after: [measure]}
"""
REVISED = SHEET.replace("max 50 mA", "max 250 mA")


@pytest.fixture
def give(garage):
    handed = giving(garage, "job/one")
    handed("vehicle_named", "vehicle/own", name="Own")
    handed("job_opened", vehicle="own", sheet=SHEET)
    go_on_all_the_same(garage, handed, "one")
    handed("started")
    return handed


def read(give, garage, amps="181 mA"):
    give("reading_judged", limit="rest", read=amps, meter="1 % + 2 digits, 1 mA", step="measure")
    give("step_done", step="measure")
    return garage.job("one").readings[-1]


def test_a_revised_limit_marks_what_was_judged_before_and_asks_the_branch_anew(garage, give):
    before = read(give, garage)
    assert garage.job("one").run.standing["fuses"] is Standing.NOW
    give("sheet_revised", sheet=REVISED, why="the manual says 250 mA")
    job = garage.job("one")
    words = "Judged against at most 50 mA; since then at most 250 mA is allowed. Judge it again."
    assert outdated(job, job.readings[0]) == words
    assert job.run.standing["fuses"] is Standing.WAITING
    outcomes = [row.get("outcome") for row in document(job, made=garage.now())["log"] if row["kind"] == "read"]
    assert outcomes == [None]
    assert [one for one in dict(sections(job))["Readings"] if words in one]
    assert words in book_data(garage, job).readings[0].sentence
    give("reading_judged", limit="rest", step="measure", **as_typed(before.data))
    job = garage.job("one")
    assert [outdated(job, event) for event in job.readings] == [words, ""]
    assert job.readings[0].data == before.data  # what was told stays told
    assert job.run.standing["fuses"] is Standing.RULED_OUT


def test_the_revision_and_its_reason_stand_in_the_book_on_page_and_paper(garage, give):
    give("sheet_revised", sheet=REVISED, why="the manual says 250 mA")
    job, line = (
        garage.job("one"),
        "Current at rest from at most 50 mA to at most 250 mA. Reason: the manual says 250 mA",
    )
    assert revised_words(job) == [f"21 November 2026: {line}"]
    assert dict(sections(job))["Revised"] == revised_words(job)
    [section] = [one for one in book_data(garage, job).sections if one.title == "Revised"]
    assert line in str(section.rows)


def test_a_limit_that_stays_marks_nothing(garage, give):
    read(give, garage)
    give("sheet_revised", sheet=SHEET.replace('do: "Measure"', 'do: "Measure it"'), why="clearer")
    job = garage.job("one")
    assert outdated(job, job.readings[0]) == ""
    assert job.run.standing["fuses"] is Standing.NOW


def test_a_finished_job_opens_wholly_or_not(garage, give):
    read(give, garage, "20 mA")
    give("step_done", step="fit")
    [finish, *_] = give("finished")
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


def test_a_part_fitted_at_a_stated_price_is_money_spent(garage, give):
    read(give, garage, "20 mA")
    assert spent(garage.job("one")) == 0.0
    give("price_stated", "toolbox", what="part:drain.relay", amount="12.35")
    assert spent(garage.job("one")) == 0.0  # stated, not fitted
    give("step_done", step="fit")
    [cost] = costs_of(garage.job("one"))
    assert (cost.amount, cost.words) == (24.7, "starter relay: 24.70, as its price was stated")
    give("paid", what="Starter relay, two of them", amount="20000.15")
    assert [one.amount for one in costs_of(garage.job("one"))] == [20000.15]
    assert dict(sections(garage.job("one")))["Cost"] == [
        "Starter relay, two of them: 20000.15", "Together: 20000.15",
    ]  # fmt: skip
    give("withdrawn", event=garage.job("one").state.paid[0].id)
    give("withdrawn", event=garage.job("one").state.done[-1].id)
    assert costs_of(garage.job("one")) == ()
