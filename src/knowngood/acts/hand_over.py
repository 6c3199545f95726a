"""Hand over: one page for a mechanic, with what was complained of, found, ruled out and done, and what stands open."""

from collections.abc import Sequence

from knowngood.acts.book import Section, fluids_words
from knowngood.acts.faults.checked_again import checked_again
from knowngood.acts.faults.first_actions import BY_KEY, NOTED, Code, codes_of, first_told
from knowngood.acts.faults.proofs import proof_words, proofs_of
from knowngood.acts.faults.suspects import Suspect, Suspected, suspected_here
from knowngood.acts.faults.watches import jobs_before, watch_words, watches_of
from knowngood.acts.faults.why_words import shows_words
from knowngood.acts.job.garage import Garage, Job
from knowngood.acts.job.revised import outdated
from knowngood.acts.job.run import standing_open, to_undo
from knowngood.acts.job.standing import open_words
from knowngood.acts.readings.values import band_words, value_words
from knowngood.engine.judgement import Band, Verdict, percent
from knowngood.refusal import Refused
from knowngood.store.event import Event
from knowngood.words import capital

# Ours: what is less likely than this now, and was likelier before the tests, stands apart from the suspects.
UNLIKELY = 0.05


def hand_over(garage: Garage, job: Job) -> list[Section]:
    """Return the sections of the page; a section with nothing to say is left out."""
    trouble: list[str] = []
    try:
        found = suspected_here(garage, job)
    except Refused as refused:
        found, trouble = None, list(refused.problems.values())
    jobs = [*jobs_before(garage, job), job]
    codes = {one.code.code: one for each in jobs for one in codes_of(each)}
    sections = [
        ("Complaint", [*_complaints(jobs), *_first(jobs)]),
        ("Trouble codes", [_code_words(one) for one in codes.values()]),
        ("Found", [*_tests(found), *(_reading(each, event) for each in jobs for event in each.state.counting)]),
        ("Found, and not to be had together", trouble),
        ("Suspects", _suspects(found)),
        ("Unlikely by now", _unlikely(found)),
        ("Done", [*_done(job), *fluids_words(job)]),
        ("Stands open", _open(garage, job)),
        ("Not proved yet", [proof_words(one) for one in proofs_of(job) if one.state != "in"]),
        ("Kept an eye on", [watch_words(one) for one in watches_of(job) if one.closed is None]),
    ]
    return [(title, rows) for title, rows in sections if rows]


def _open(garage: Garage, job: Job) -> list[str]:
    """What this job left so, then what other jobs on the same vehicle did."""
    own = [*standing_open(job.run), *to_undo(job.run)] if job.started else []
    return [*own, *open_words(garage.moves_of(job.vehicle_id), but=job.id)]


def _complaints(jobs: Sequence[Job]) -> list[str]:
    """The newest first, then what it began with."""
    *before, now = (str(job.opened["complaint"] or "") for job in jobs)
    return [now or "No complaint was written down.", *(f"Before that: {one}" for one in reversed(before) if one)]


def _first(jobs: Sequence[Job]) -> list[str]:
    """When, how, since when, and what else was asked first; the newest word on each."""
    told = {key: event.data for job in jobs for key, event in first_told(job).items()}
    return [f"{BY_KEY[key].about}: {said['text']}" for key, said in told.items() if said["outcome"] == NOTED]


def _code_words(one: Code) -> str:
    """What its structure says, what was stored with it, and what the manual says."""
    said = [one.words, f"Stored with it: {one.conditions}." if one.conditions else "", one.manual]
    return " ".join(words for words in said if words)


def _reading(job: Job, event: Event) -> str:
    """With its doubt, its verdict, and whether its limits stand; what it decided here is nothing to another."""
    data, since = event.data, outdated(job, event)
    verdict = f"{data['judgement']['verdict']}. {since}" if since else data["judgement"]["verdict"]
    allowed = band_words(Band.from_json(data["band"]), data["unit"])
    return f"{data['name']}: {value_words(data)}; allowed {allowed}: {verdict}"


def _tests(found: Suspected | None) -> list[str]:
    """What tests showed and repairs did; readings stand with their own doubt."""
    if found is None:
        return []
    rows = [one.found for one in found.evidence if one.found.sure]
    return [
        f"{found.names[one.key]}: {shows_words(found.sheet, one.key, one.outcome)} ({one.sure})"
        + (f". {one.words}" if one.words else "")
        for one in rows
    ]


def _suspects(found: Suspected | None) -> list[str]:
    return [_likely(found, one) for one in found.likeliest if one.after >= UNLIKELY] if found else []


def _unlikely(found: Suspected | None) -> list[str]:
    return [_likely(found, one) for one in found.likeliest if one.after < min(UNLIKELY, one.before)] if found else []


def _likely(found: Suspected, one: Suspect) -> str:
    """How likely it is now, and what it was before the tests where there were some."""
    before = f" (before the tests {percent(one.before)})" if found.evidence else ""
    return f"{capital(one.name)}: {percent(one.after)}{before}"


def _done(job: Job) -> list[str]:
    """Parts that were fitted, by step, and whether a check since showed the fault all the same."""
    failed = {key for one in checked_again(job) if one.verdict is Verdict.OUT for key in one.repairs}
    in_vain = {step for key in failed for step in job.sheet.repairs[key].step}
    steps = [job.sheet.step(one) for one in dict.fromkeys(job.run.progress.done)]
    return [
        f"{step.do}: {', '.join(job.sheet.parts[one].name for one in step.fit)}"
        + (", and the fault was there still" if step.id in in_vain else "")
        for step in steps
        if step.fit
    ]
