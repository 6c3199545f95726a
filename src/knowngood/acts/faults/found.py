"""What was found so far, as evidence: noted by the person, read with an instrument, or decided at a step."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from knowngood.acts.faults.checked_again import GONE, check_readings, evidence_of, gone_by_check
from knowngood.acts.job.garage import Job
from knowngood.engine.judgement import Band, Estimate, Verdict
from knowngood.engine.troubleshooting.belief.posterior import Failed, Finding, Leaning, Shown
from knowngood.engine.troubleshooting.belief.readings import Reading
from knowngood.engine.troubleshooting.model.parts import NO, YES
from knowngood.engine.troubleshooting.model.problem import Problem
from knowngood.sheet.model import Sheet
from knowngood.store.event import Event

# What the check after a repair shows.
STILL_THERE = "still there"
# What a reading after a repair shows, by its verdict.
CHECKED = {Verdict.WITHIN: GONE, Verdict.OUT: STILL_THERE, Verdict.CANT_TELL: Verdict.CANT_TELL.value}
# Ours: how much better what was perceived is explained by the outcome that is named than by all others together.
SURE: dict[str, float] = {"sure": 1.0, "fairly sure": 0.9, "not sure": 0.7}
SUREST = "sure"


@dataclass(frozen=True)
class Found:
    """One finding.

    Args:
        key: Of the test, of the repair that was tried, or of the reading that checked repairs.
        outcome: What it showed; of a reading its verdict.
        evidence: The same for the engine.
        event: Id of the event that it comes from; empty when none was kept.
        happened: When, as events write it; empty when none was kept.
        words: What the person said beside it; of a reading the sentence that was told.
        sure: How sure the person is, one of `SURE`; empty of a reading, which knows by itself.
        name: What it is called, where it is neither a test nor a repair.
        told_by: Key of the finding of the same group that counts in its place; None when this one counts.
    """

    key: str
    outcome: str
    evidence: Finding
    event: str = ""
    happened: str = ""
    words: str = ""
    sure: str = ""
    told_by: str | None = None
    name: str = ""


def finding_of(problem: Problem, key: str, outcome: str, sure: str = SUREST) -> Finding:
    """Return a finding in words as evidence.

    Args:
        problem: Whose tests and repairs.
        key: Of a test, or of a repair that was tried.
        outcome: One of the test's outcomes; of a repair that the fault is still there.
        sure: One of `SURE`.

    Raises:
        ValueError: A test or an outcome that nobody defined, or a repair that helped: then nothing is left to find.
    """
    if key in problem.repair_of:
        if outcome != STILL_THERE:
            name = problem.repair_of[key].name
            raise ValueError(f'"{name}" cannot show "{outcome}" here; only "{STILL_THERE}" leaves something to find.')
        return Failed(key)
    if key not in problem.test_of:
        known = ", ".join((*problem.test_of, *problem.repair_of)) or "none"
        raise ValueError(f'"{key}" is no test or repair of this sheet. It has {known}.')
    test = problem.test_of[key]
    test.outcome(outcome)
    share = SURE[sure]
    if share == 1.0:
        return Shown(key, outcome)
    rest = (1.0 - share) / (len(test.outcomes) - 1)
    return Leaning(key, {one: share if one == outcome else rest for one in test.outcomes})


def findings_of(job: Job, problem: Problem, before: Sequence[Job] = ()) -> tuple[Found, ...]:
    """Return what was found in a job, oldest first, the newest word on each test.

    Of tests in one group, which see the same thing, the newest counts.

    Args:
        job: The job.
        problem: Whose tests and repairs.
        before: Jobs after which the fault came back, oldest first; a repair that seemed to help in one did not.
    """
    ordered = [one for old in before for one in _found_in(old, problem, came_back=True)]
    ordered += _found_in(job, problem)
    newest = {one.key: one for one in ordered}
    return counted(job.sheet, sorted(newest.values(), key=ordered.index))


def _found_in(job: Job, problem: Problem, *, came_back: bool = False) -> list[Found]:
    """What one job says of tests and repairs of the problem, which is of another sheet when the fault came back."""
    noted = _noted(job.state.newest("finding_noted", "test"), problem, came_back=came_back)
    read = (one for one in _read(job) if _shows(problem, one.key, YES) and _shows(problem, one.key, NO))
    decided = (one for one in _decided(job) if _shows(problem, one.key, one.outcome))
    checked = _checked(job, came_back=came_back)
    return sorted((*noted, *read, *decided, *checked), key=lambda one: job.state.places[one.event])


def counted(sheet: Sheet, found: Sequence[Found]) -> tuple[Found, ...]:
    """Return findings with the last of each group counting for the others."""
    last = {group: one.key for one in found if (group := _group(sheet, one.key))}
    return tuple(_instead(one, last.get(_group(sheet, one.key) or "", one.key)) for one in found)


def helped(job: Job) -> str | None:
    """Return the key of the repair after which the fault was gone; None while it is there.

    The newest word counts: the person's, or that of a reading which checked the repair.
    """
    rows = job.state.newest("finding_noted", "test").values()
    noted = [one for one in rows if one.data["outcome"] == GONE]
    checked = gone_by_check(job)
    if checked and not (noted and _later(job, noted[-1], checked[0])):
        return checked[1]
    return str(noted[0].data["test"]) if noted else None


def _later(job: Job, one: Event, other: Event) -> bool:
    return job.state.places[one.id] > job.state.places[other.id]


def _instead(one: Found, key: str) -> Found:
    told_by = None if key == one.key else key
    return replace(one, told_by=told_by)


def _group(sheet: Sheet, key: str) -> str | None:
    return sheet.tests[key].group if key in sheet.tests else None


def _noted(events: Mapping[str, Event], problem: Problem, *, came_back: bool = False) -> Iterable[Found]:
    """What the person noted; a word for a test that a revised sheet does not have any more counts no longer."""
    for event in events.values():
        data = event.data
        key, outcome = data["test"], data["outcome"]
        outcome = STILL_THERE if came_back and outcome == GONE else outcome
        known = outcome == STILL_THERE if key in problem.repair_of else _shows(problem, key, outcome)
        if known:
            evidence = finding_of(problem, key, outcome, data["sure"])
            yield Found(key, outcome, evidence, event.id, event.happened, data["text"], data["sure"])


def _shows(problem: Problem, key: str, outcome: str) -> bool:
    return key in problem.test_of and outcome in problem.test_of[key].outcomes


def _read(job: Job) -> Iterable[Found]:
    """Readings against a test's limit, each as its judgement has it: out is yes. One after the repair is none."""
    after = check_readings(job)
    for key, test in job.sheet.tests.items():
        before = [one for one in job.verdicts_of(test.limit) if one.id not in after] if test.limit else []
        event = before[-1] if before else None
        if event is not None:
            data = event.data
            estimate, band = Estimate.from_json(data["estimate"]), Band.from_json(data["band"])
            reading = Reading(key, estimate, band, within=NO, below=YES, above=YES)
            yield Found(key, data["judgement"]["verdict"], reading, event.id, event.happened, data["sentence"])


def _checked(job: Job, *, came_back: bool) -> Iterable[Found]:
    """The newest reading that checked repairs; of a fault that came back, one that showed it no longer was wrong."""
    found = evidence_of(job)
    if found is None:
        return
    checked, evidence = found
    assert checked.reading is not None  # it is evidence
    outcome = CHECKED[Verdict.OUT if came_back else checked.verdict or Verdict.CANT_TELL]
    said = replace(evidence, there=1.0) if came_back else evidence
    event, name = checked.reading, job.sheet.limits[checked.limit].name
    yield Found(evidence.key, outcome, said, event.id, event.happened, event.data["sentence"], name=name)


def _decided(job: Job) -> Iterable[Found]:
    by_decision = {event.data["decision"]: event for event in job.state.decisions}
    for key, test in job.sheet.tests.items():
        event = by_decision.get(test.decided) if test.decided else None
        if event is not None and event.data["choice"] in (test.outcomes or (YES, NO)):
            yield _chosen(key, event)


def _chosen(key: str, event: Event) -> Found:
    choice = event.data["choice"]
    return Found(key, choice, Shown(key, choice), event.id, event.happened, event.data["why"], SUREST)
