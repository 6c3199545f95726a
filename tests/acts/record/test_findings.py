"""Findings, first actions and trouble codes as entries: what is kept, what is refused, and what is still to be done."""

import pytest
from tests.acts.suspect_sheets import NO_START, job_of
from tests.refusing import refused

from knowngood.acts.book import may_be_taken_back
from knowngood.acts.faults.first_actions import FIRST_ACTIONS, codes_of, first_actions
from knowngood.engine.troubleshooting.model.codes import Group, Status


@pytest.fixture
def kept(tmp_path):
    return job_of(tmp_path, NO_START)


def test_a_finding_keeps_what_was_said(kept):
    (event,) = kept.add("finding_noted", test="hum", outcome="faint", sure="fairly sure", text="from the left")
    assert event.data == {
        "test": "hum", "name": "Pump hums", "outcome": "faint", "sure": "fairly sure", "text": "from the left"
    }  # fmt: skip
    assert may_be_taken_back(kept.job) == [(event.id, "Finding: Pump hums"), *may_be_taken_back(kept.job)[1:]]


@pytest.mark.parametrize(
    ("fields", "field", "says"),
    [
        ({}, "test", "Nothing is written here. Write which test or repair it is about."),
        ({"test": "clock"}, "test", '"clock" is no test or repair of this job. It has click, hum, swap_relay.'),
        ({"test": "click"}, "outcome", "Nothing is written here. Write what it showed: yes or no."),
        (
            {"test": "click", "outcome": "maybe"},
            "outcome",
            '"maybe" is nothing that "Relay clicks" can show. Take yes or no.',
        ),
        (
            {"test": "hum", "outcome": "yes"},
            "outcome",
            '"yes" is nothing that "Pump hums" can show. Take loud or faint or silent.',
        ),
        (
            {"test": "swap_relay", "outcome": "yes"},
            "outcome",
            '"yes" is nothing that "Swap the relay" can show. Take still there or gone.',
        ),
        (
            {"test": "click", "outcome": "yes", "sure": "90 %"},
            "sure",
            '"90 %" does not say how sure you are. Take sure, fairly sure, not sure.',
        ),
        (
            {"test": "first:since", "outcome": "noted"},
            "text",
            "Nothing is written here. "
            "Write what you found, such as since the battery was changed in October; or skip it.",
        ),
    ],
)
def test_what_cannot_be_used_is_told_at_its_field(kept, fields, field, says):
    assert refused(kept.add, "finding_noted", **fields) == {field: says}


def test_first_actions_are_asked_until_they_are_noted_or_skipped(kept):
    assert first_actions(kept.job) == FIRST_ACTIONS
    kept.add("finding_noted", test="first:when", outcome="noted", text="cold starts only")
    kept.add("finding_noted", test="first:recall", outcome="skipped")
    assert [one.key for one in first_actions(kept.job)] == ["first:how", "first:since", "first:codes"]
    (noted,) = kept.add("code_noted", code="P0335")
    assert [one.key for one in first_actions(kept.job)] == ["first:how", "first:since"]
    kept.add("withdrawn", event=noted.id)
    assert "first:codes" in [one.key for one in first_actions(kept.job)]


def test_codes_of_the_complaint_and_codes_noted(kept):
    complaint = "Stalls warm; the reader said p0335 and U0100, then P0335 again."
    kept.add("job_opened", "job/two", vehicle="own", sheet=NO_START, sheet_file="small.yaml", complaint=complaint)
    job = kept.garage.job("two")
    assert [one.code.code for one in codes_of(job)] == ["P0335", "U0100"]
    kept.add("code_noted", "job/two", code="p 0335", status="Confirmed", manual="Crankshaft sensor", conditions="80 °C")
    first, second = codes_of(kept.garage.job("two"))
    assert (first.status, first.manual, first.conditions) == (Status.CONFIRMED, "Crankshaft sensor", "80 °C")
    assert first.code.group is Group.IGNITION
    assert first.words == (
        "P0335: engine and gearbox, ignition and misfires; set by the standard: it means the same on every vehicle."
    )
    assert (second.status, second.event) == (None, "")


def test_a_code_that_is_none_is_refused(kept):
    problems = refused(kept.add, "code_noted", code="PO335")
    assert problems == {"code": "PO335: the second sign is O; it is 0, 1, 2 or 3. Did you mean P0335?"}
    assert refused(kept.add, "code_noted", code="P0335", status="old") == {
        "status": '"old" is no status of a code. Take pending, confirmed, permanent, or leave it empty.'
    }
