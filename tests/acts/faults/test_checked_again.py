"""A reading after a repair: it proves it, or says that it did not help, and is evidence like any other."""

import pytest
from tests.acts.test_battery_job import RESTED, mechanic

from knowngood.acts import book
from knowngood.acts.faults.checked_again import checked_again
from knowngood.acts.faults.plan import plan_of
from knowngood.acts.faults.proofs import proofs_of, unproved_words
from knowngood.acts.faults.suspects import suspected
from knowngood.acts.hand_over import hand_over
from knowngood.refusal import Refused
from knowngood.store.event import Event
from knowngood.web.pages.now import now

PROOF = "Current while everything sleeps, mended"


def worked(garage, left, *, drain="185 mA", **read):
    found = {"drain": {"read": drain, "locked": "60"}, "drain_left": {"read": left, "locked": "60"}}
    held = {"charge_held": {"read": "12.66 V", **RESTED}}
    worker = mechanic(garage, {**found, **held, **read}, {"fuse_group": "units"})
    worker.work()
    return worker


def sentence(worker):
    return worker.job.readings_of("drain_left")[-1].data["sentence"]


def chances(garage, worker):
    found = suspected(garage, worker.job)
    return {one.key: one.after for one in found.suspects}, found


def owed(worker):
    return next((one for one in proofs_of(worker.job) if one.key == "limit:drain_left"), None)


def test_a_failed_proof_never_reads_as_mended(garage):
    worker = worked(garage, "181 mA")
    assert sentence(worker) == (
        "Not mended: still 183 mA, allowed at most 50 mA. So: look through the fuses once more."
    )
    told = "\n".join(words for _, rows in book.sections(worker.job) for words in rows)
    assert "Not mended: still 183 mA" in told
    assert ": yes" not in told
    title, rows = unproved_words(worker.job)
    assert title == "All steps done, and not mended"
    page = now(garage, worker.job, None)["nothing"]
    assert (page["title"], page["rows"], page["href"]) == (title, rows, "/job/drain/why")
    with pytest.raises(Refused) as refused:
        worker.give("finished", words="")
    assert refused.value.problems == {
        "watch_rest": f'Not mended: "{PROOF}". Read it again, or keep an eye on it and finish.'
    }
    worker.give("finished", words="", watch_rest="yes")
    assert worker.job.state.finished


def test_a_failed_proof_moves_the_suspects_and_proposes_no_repair_that_was_done(garage):
    worker = worked(garage, "181 mA")
    after, found = chances(garage, worker)
    passed, _ = chances(garage, worked_again(garage, worker, "21 mA"))
    assert after["awake"] < 0.9 < passed["awake"]  # before the proof: more than 0.9 by its group of fuses
    assert after["lamp"] > 10 * passed["lamp"]
    assert found.gone_by is None
    assert found.left is not None
    assert not {"dry_unit", "clean_contacts"} & {one.key for one in found.left.repairs}
    assert not {"dry_unit", "clean_contacts"} & set(plan_of(found, budget=1.0).next.keys)
    assert [(found.names[one.found.key], one.found.outcome) for one in found.evidence][-1] == (PROOF, "still there")


def worked_again(garage, worker, read):
    """The same job, read once more."""
    worker.give("reading_judged", step="read_again", limit="drain_left", read=read, locked="60")
    return worker


def test_a_passed_proof_counts_and_closes(garage):
    worker = worked(garage, "21 mA")
    assert sentence(worker) == "Mended: 21.2 mA, allowed at most 50 mA."
    after, found = chances(garage, worker)
    assert after["awake"] > 0.95
    assert (found.gone_by, found.left) == ("The unit's plug dried and renewed", None)
    assert owed(worker).state == "in"
    worker.give("finished", words="sleeps")


def test_a_proof_in_doubt_says_so_and_stays_owed(garage):
    worker = worked(garage, "50 mA")
    assert sentence(worker).startswith("Cannot be told yet whether it is mended: 50.6 mA, allowed at most 50 mA. Leans")
    assert (owed(worker).state, unproved_words(worker.job)[0]) == ("open", "All steps done, and not proved yet")
    assert suspected(garage, worker.job).gone_by is None


def test_what_was_believed_gone_is_reopened_by_a_reading_and_the_newest_word_counts(garage):
    worker = worked(garage, "21 mA")
    worked_again(garage, worker, "181 mA")
    assert suspected(garage, worker.job).gone_by is None
    worker.give("finding_noted", test="dry_unit", outcome="gone")
    assert suspected(garage, worker.job).gone_by == "The unit's plug dried and renewed"
    worked_again(garage, worker, "179 mA")
    assert suspected(garage, worker.job).gone_by is None
    assert owed(worker).state == "failed"


def test_after_the_next_repair_the_proof_is_owed_again(garage):
    worker = worked(garage, "181 mA")
    before = chances(garage, worker)[0]
    worker.give("finding_noted", test="new_switch", outcome="still there", text="swapped all the same")
    one = owed(worker)
    assert one.state == "open"
    assert one.words.endswith("Something was mended since: read it again.")
    [checked] = [each for each in checked_again(worker.job) if each.limit == "drain_left"]
    assert checked.mended_since
    assert "new_switch" not in checked.repairs
    assert chances(garage, worker)[0]["lamp"] < before["lamp"]


def test_a_repair_that_was_said_not_to_help_counts_once(garage):
    worker = worked(garage, "181 mA")
    read = chances(garage, worker)[0]["awake"]
    worker.give("finding_noted", test="dry_unit", outcome="still there")
    assert chances(garage, worker)[0]["awake"] == pytest.approx(read, abs=0.1)  # twice would leave a third


def test_a_check_of_what_was_never_out_proves_nothing(garage):
    worker = worked(garage, "21 mA", drain="22 mA")
    assert sentence(worker) == "It is at most 50 mA (more than 99 %). No need to look through the fuses once more."
    assert owed(worker) is None


def test_a_limit_read_again_after_its_repair_is_no_evidence_against_what_it_found(garage):
    worker = worked(garage, "21 mA", drain="22 mA", charging={"read": "12.4 V"})
    before = chances(garage, worker)[0]["no_charge"]
    worker.give("reading_judged", limit="charging", read="14.2 V")
    told = worker.job.readings_of("charging")[-1].data["sentence"]
    assert told == "Mended: 14.2 V, allowed 13.5–14.9 V."
    assert chances(garage, worker)[0]["no_charge"] >= before
    worker.give("reading_judged", limit="charging", read="12.5 V")
    assert worker.job.readings_of("charging")[-1].data["sentence"].startswith("Not mended: still 12.5 V")
    assert next(one for one in proofs_of(worker.job) if one.key == "limit:charging").state == "failed"


def test_the_page_to_hand_over_says_what_did_not_help(garage):
    worker = worked(garage, "181 mA")
    told = dict(hand_over(garage, worker.job))
    assert any(row.endswith(", and the fault was there still") for row in told["Done"])
    assert any(row.startswith(f"{PROOF}: failed. Not mended") for row in told["Not proved yet"])


def test_a_proof_by_reading_is_not_seen_by_hand(garage):
    worker = worked(garage, "181 mA")
    with pytest.raises(Refused, match="not to be proved here"):
        worker.give("proof_seen", proof="limit:drain_left", passed="yes")


def test_an_old_sentence_stays_as_told_and_its_reading_reopens(garage):
    """A job of an older program, whose sheet names what hangs on it and links nothing."""
    worker = worked(garage, "21 mA")
    kept = worker.job.readings_of("drain_left")[-1]
    out = next(event for event in worker.job.readings_of("drain")).data
    old = "Too high: not at most 50 mA (more than 99 %). It decides whether it is mended: yes."
    data = {**out, "limit": "drain_left", "name": PROOF, "step": "read_again", "sentence": old}
    garage.store.append([
        Event.new(id="e" * 32, stream=kept.stream, kind="reading_judged", device="old", device_seq=1,
                  happened=kept.happened, recorded=kept.recorded, data=data)
    ])  # fmt: skip
    assert sentence(worker) == old
    assert suspected(garage, worker.job).gone_by is None
    assert owed(worker).state == "failed"
