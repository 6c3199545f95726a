"""A revision stands in the book with its reason; readings judged before it are marked and decide nothing until anew."""

import pytest
from tests.garages import giving, go_on_all_the_same
from tests.refusing import refused

from knowngood import cli
from knowngood.acts.book import sections
from knowngood.acts.faults.checked_again import checked_again
from knowngood.acts.faults.found import helped
from knowngood.acts.faults.suspects import suspected
from knowngood.acts.hand_over import hand_over
from knowngood.acts.job import planning
from knowngood.acts.job.opened_again import FINISHED
from knowngood.acts.job.revised import mark_words, outdated, revised_words, why_again
from knowngood.acts.job.run import Standing
from knowngood.acts.job.run_document import document
from knowngood.acts.job.sheet_changes import changes
from knowngood.acts.readings.history import history
from knowngood.acts.readings.relations import compared_words
from knowngood.acts.record.judged_again import GONE
from knowngood.engine.judgement import Estimate
from knowngood.report.paper.fill import book_data
from knowngood.store.event import Event
from knowngood.web.pages.now import now
from knowngood.web.pages.of_job import readings

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


def begun(garage, sheet):
    """A hand on a job that has begun by a sheet."""
    handed = giving(garage, "job/one")
    handed("vehicle_named", "vehicle/own", name="Own")
    handed("job_opened", vehicle="own", sheet=sheet)
    go_on_all_the_same(garage, handed, "one")
    handed("started")
    return handed


@pytest.fixture
def give(garage):
    return begun(garage, SHEET)


def read(give, garage, amps="181 mA"):
    give("reading_judged", limit="rest", read=amps, meter="1 % + 2 digits, 1 mA", step="measure")
    give("step_done", step="measure")
    return garage.job("one").readings[-1]


def test_a_revised_limit_marks_what_was_judged_before_and_asks_the_branch_anew(garage, give):
    before = read(give, garage)
    assert garage.job("one").run.standing["fuses"] is Standing.NOW
    give("sheet_revised", sheet=REVISED, why="the manual says 250 mA")
    job = garage.job("one")
    words = "Judged against at most 50 mA; since then at most 250 mA is allowed."
    assert mark_words(job, job.readings[0]) == f"{words} Judge it again."
    assert job.run.standing["fuses"] is Standing.WAITING
    outcomes = [row.get("outcome") for row in document(job, made=garage.now())["log"] if row["kind"] == "read"]
    assert outcomes == [None]
    assert [one for one in dict(sections(job))["Readings"] if words in one]
    assert words in book_data(garage, job).readings[0].sentence
    [again] = give("reading_judged", again=before.id)
    job = garage.job("one")
    told = [f"{words} Judged again since.", "Judged again from what was read on 21 November 2026."]
    assert [mark_words(job, event) for event in job.readings] == told
    assert [event.id for event in job.readings_of("rest")] == [again.id]
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


# A fault that shows in the current at rest, and a repair after which the same current says whether it helped.
FAULT = SHEET.replace(
    "steps:",
    """suspects: {leak: "Relay stays on", lamp: "Lamp stays on"}
tests: {high: {name: "Current is high", shows: {leak: "9 of 10"}, without: "1 of 10", limit: rest, minutes: "3 min"}}
repairs: {swap: {name: "Fit the relay", fixes: {leak: "9 of 10"}, part: relay, step: fit}}
steps:""",
)


def test_what_an_old_verdict_said_of_the_fault_is_open_until_it_is_judged_again(garage):
    give = begun(garage, FAULT)
    before = read(give, garage)
    assert [one.found.outcome for one in suspected(garage, garage.job("one")).evidence] == ["out of limits"]
    give("sheet_revised", sheet=FAULT.replace("max 50 mA", "max 250 mA"), why="misread")
    assert suspected(garage, garage.job("one")).evidence == ()
    give("reading_judged", again=before.id)
    assert [one.found.outcome for one in suspected(garage, garage.job("one")).evidence] == ["within limits"]


def test_a_reading_judged_again_after_a_repair_is_still_of_before_it(garage):
    """It was read before the relay was fitted: within now, it does not show that the relay has helped."""
    give = begun(garage, FAULT)
    before = read(give, garage)
    give("step_done", step="fuses")
    give("step_done", step="fit")
    give("sheet_revised", sheet=FAULT.replace("max 50 mA", "max 250 mA"), why="misread")
    give("reading_judged", again=before.id)
    job = garage.job("one")
    assert checked_again(job) == []
    assert helped(job) is None
    [one] = [each.found for each in suspected(garage, job).evidence]
    assert (one.key, one.outcome) == ("high", "within limits")


def test_a_reading_judged_again_is_one_reading(garage, give):
    garage_day = "2026-11-19T12:00:00+00:00"
    [before] = give("reading_judged", limit="rest", read="181 mA", step="measure", happened=garage_day)
    give("sheet_revised", sheet=REVISED, why="misread")
    give("reading_judged", again=before.id)
    told = history(garage, "own", "rest")
    assert [str(one.day) for one in told.readings] == ["2026-11-19"]
    assert compared_words(garage.job("one").state.counting) == []
    assert len(garage.job("one").readings) == 2  # the book has both
    give("withdrawn", event=before.id)  # never read, so never judged again either
    assert garage.job("one").readings == []


def test_an_older_reading_judged_again_does_not_pass_a_newer_one(garage, give):
    first = read(give, garage)
    give("reading_judged", limit="rest", read="300 mA", meter="1 % + 2 digits, 1 mA", step="measure")
    give("sheet_revised", sheet=REVISED, why="misread")
    give("reading_judged", again=first.id)
    job = garage.job("one")
    assert job.run.standing["fuses"] is Standing.WAITING  # the newer one is to be judged again as well
    rows = [row.get("outcome") for row in document(job, made=garage.now())["log"] if row["kind"] == "read"]
    assert rows == ["within", None]
    give("reading_judged", again=job.readings_of("rest")[-1].id)
    assert garage.job("one").run.standing["fuses"] is Standing.NOW


def test_judged_again_twice_by_two_phones_is_judged_once(garage, give):
    before = read(give, garage)
    give("sheet_revised", sheet=REVISED, why="misread")
    assert len(give("reading_judged", again=before.id)) == 1
    assert give("reading_judged", again=before.id) == []
    assert refused(give, "reading_judged", again="0" * 32) == {"": GONE}


def test_a_manuals_answer_corrected_after_the_reading_marks_it(garage):
    asks = 'asks: {rest_max: {question: "How much may it draw?", answer: limits, like: "max 50 mA"}}\nlimits:'
    asking = SHEET.replace('band: "max 50 mA"', "band: {ask: rest_max}").replace("limits:", asks)
    give = begun(garage, asking)
    give("answered", ask="rest_max", typed="max 50 mA")
    before = read(give, garage)
    assert garage.job("one").run.standing["fuses"] is Standing.NOW
    give("answered", ask="rest_max", typed="max 250 mA")
    job = garage.job("one")
    words = "Judged against at most 50 mA; since then at most 250 mA is allowed. Judge it again."
    assert mark_words(job, job.readings[0]) == words
    assert job.run.standing["fuses"] is Standing.WAITING
    give("reading_judged", again=before.id)
    assert garage.job("one").run.standing["fuses"] is Standing.RULED_OUT


def test_a_limit_stated_for_another_temperature_marks_what_was_judged_by_the_first(garage):
    coil = SHEET.replace('name: "Current at rest", band: "max 50 mA"', 'name: "Coil", band: "80..95 ohm", at: "20 °C"')
    give = begun(garage, coil)
    give("reading_judged", limit="rest", read="90 ohm", step="measure")
    assert garage.job("one").stands(garage.job("one").readings[0])
    give("sheet_revised", sheet=coil.replace('"20 °C"', '"80 °C"'), why="the table is for a warm coil")
    job = garage.job("one")
    assert mark_words(job, job.readings[0]) == "Judged before this limit was revised. Judge it again."


def test_a_check_entered_after_a_reading_offers_to_judge_it_again_and_changes_nothing_by_itself(garage):
    give = begun(garage, SHEET.replace("max 50 mA", "max 2 mm").replace("Current at rest", "Free play"))
    give("instrument_added", "toolbox", name="cheap caliper", preset="caliper")
    [before] = give("reading_judged", limit="rest", read="2.15 mm", meter="cheap caliper", step="measure")
    assert before.data["judgement"]["verdict"] == "out of limits"
    assert why_again(garage, garage.job("one"), before) == ""
    give("instrument_checked", "toolbox", name="cheap caliper", known="0 mm", shown="0.3 mm", date="2026-11-01")
    job = garage.job("one")
    assert why_again(garage, job, before) == "The cheap caliper was checked since this was judged."
    assert mark_words(job, before) == ""
    assert job.stands(before)
    [again] = give("reading_judged", again=before.id)
    assert again.data["judgement"]["verdict"] == "within limits"
    assert Estimate.from_json(again.data["estimate"]).value == pytest.approx(1.85)
    assert why_again(garage, garage.job("one"), again) == ""


def test_of_a_check_in_another_unit_nothing_follows(garage, give):
    give("instrument_added", "toolbox", name="blue", preset="multimeter")
    [before] = give("reading_judged", limit="rest", read="181 mA", meter="blue", step="measure")
    give("instrument_checked", "toolbox", name="blue", known="12 V", shown="12.1 V")
    assert why_again(garage, garage.job("one"), before) == ""
    give("instrument_checked", "toolbox", name="blue", known="100 mA", shown="101 mA")
    assert why_again(garage, garage.job("one"), before)


def test_in_a_finished_job_old_verdicts_are_marked_and_stand(garage, give):
    before = read(give, garage, "20 mA")
    give("step_done", step="fit")
    give("finished")
    # The vehicle's manual may be corrected after the job; here the revision came on the way, from another phone.
    revise(garage, SHEET.replace("max 50 mA", "max 10 mA"))
    job = garage.job("one")
    assert mark_words(job, job.readings[0]) == "Judged against at most 50 mA; since then at most 10 mA is allowed."
    assert job.run.standing["fuses"] is Standing.RULED_OUT
    page = readings(garage, job, None)["judged"][0]
    assert (page["again"], page["undo"]) == (None, None)
    assert now(garage, job, None)["waiting"] == []
    assert refused(give, "reading_judged", again=before.id) == {"": FINISHED}


def revise(garage, sheet):
    """Keep a revision as the store takes it, as one that was decided before the job was finished."""
    when = garage.now()
    kept = Event.new(
        id="f" * 32, stream="job/one", kind="sheet_revised", device="phone", device_seq=0, happened=when, recorded=when,
        data={"sheet": sheet, "why": "misread"}, version=1,
    )  # fmt: skip
    garage.store.append([kept])


def test_now_and_readings_offer_to_judge_again_in_one_tap(garage, give):
    before = read(give, garage)
    assert now(garage, garage.job("one"), None)["waiting"] == []
    give("sheet_revised", sheet=REVISED, why="misread")
    job = garage.job("one")
    [row] = now(garage, job, None)["waiting"]
    [shown] = readings(garage, job, None)["judged"]
    for one in (row, shown):
        assert one["words"].endswith("Judge it again.")
        assert one["again"]["hidden"]["again"] == before.id
        assert one["again"]["fields"] == []
    give("reading_judged", again=row["again"]["hidden"]["again"])
    assert now(garage, garage.job("one"), None)["waiting"] == []
    assert [one["again"] for one in readings(garage, garage.job("one"), None)["judged"]] == [None, None]


def test_who_takes_over_reads_what_holds_now(garage, give):
    read(give, garage)
    give("sheet_revised", sheet=REVISED, why="misread")
    told = "\n".join(dict(hand_over(garage, garage.job("one")))["Found"])
    assert "since then at most 250 mA is allowed" in told


def test_the_terminal_marks_a_reading_and_judges_it_again(garage, give, capsys):
    read(give, garage)
    give("sheet_revised", sheet=REVISED, why="misread")
    folder = ["--garage", str(garage.folder)]
    assert cli.main(["readings", *folder]) == 0
    told = capsys.readouterr().out
    assert "since then at most 250 mA is allowed. Judge it again." in told
    assert "Write --again 1" in told
    assert cli.main(["readings", "--again", "1", *folder]) == 0
    told = capsys.readouterr().out
    assert "within" in told
    assert "--again" not in told
    assert garage.job("one").run.standing["fuses"] is Standing.RULED_OUT
    assert cli.main(["readings", "--again", "2", *folder]) == 2
    assert 'no reading has the number "2"' in capsys.readouterr().err


def test_a_revision_says_all_that_it_changed(garage, give):
    """Nothing that a step, a torque or a part hangs on is called a change of words."""
    sheet = SHEET.replace("parts:", 'fasteners: {plug: {name: "Drain plug", torque: "25 N·m"}}\nparts:')
    after = (
        sheet.replace("25 N·m", "30 N·m").replace("count: 2", "count: 1").replace('do: "Fit the relay"', 'do: "Fit it"')
    )
    assert changes(planning.read_sheet(sheet, "a").sheet, planning.read_sheet(after, "a").sheet) == [
        "Drain plug from 25 N·m to 30 N·m",
        "part “starter relay” changed",
        "step “Fit the relay” is now “Fit it”",
    ]
    one, other = (planning.read_sheet(text, "a").sheet for text in (SHEET, sheet))
    assert changes(one, other) == ["fastener “Drain plug” added"]
    assert changes(other, one) == ["fastener “Drain plug” removed"]
    assert changes(one, one) == []


def test_a_limit_that_stays_marks_nothing(garage, give):
    read(give, garage)
    give("sheet_revised", sheet=SHEET.replace('do: "Measure"', 'do: "Measure it"'), why="clearer")
    job = garage.job("one")
    assert outdated(job, job.readings[0]) == ""
    assert job.run.standing["fuses"] is Standing.NOW
