"""What could be wrong in a job: each suspect before and after what was found, and which finding moved it how far."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from knowngood.acts.faults.before import before_of
from knowngood.acts.faults.found import Found, counted, finding_of, findings_of, helped
from knowngood.acts.faults.part_price import unpriced_words
from knowngood.acts.faults.problem import HOUR_OURS, Anyway, problem_of, unpriced
from knowngood.acts.faults.said import said_in, with_said
from knowngood.acts.faults.watches import jobs_before
from knowngood.acts.job.garage import Garage, Job
from knowngood.acts.job.run import Standing
from knowngood.acts.tools.prices import NO_PRICES, Prices, prices_of
from knowngood.checks.safety import sealed_test
from knowngood.engine.troubleshooting.belief.posterior import Moved, believe, moved
from knowngood.engine.troubleshooting.model.problem import Problem
from knowngood.engine.troubleshooting.policy.moves import remaining, telling
from knowngood.refusal import parsed
from knowngood.sheet.model import Sheet

CHEAPEST = "of tests that see the same thing, the cheapest says as much as any"


@dataclass(frozen=True)
class Suspect:
    """One suspect.

    Args:
        key: Short and stable; "other" for none of these.
        name: As the sheet calls it.
        before: Chance before any finding.
        after: Chance with all of them.
        kind: What it belongs to when safety hangs on it, such as "brakes"; None for any other.
    """

    key: str
    name: str
    before: float
    after: float
    kind: str | None = None


@dataclass(frozen=True)
class Evidence:
    """A finding and what it did.

    Args:
        found: The finding.
        moved: What it did to each suspect; none where another finding of its group counts.
    """

    found: Found
    moved: tuple[Moved, ...]

    def weight_on(self, suspect: str) -> Moved | None:
        """What it did to one suspect; None when it does not count."""
        return next((one for one in self.moved if one.cause == suspect), None)


@dataclass(frozen=True)
class Suspected:
    """What could be wrong, by what was found.

    Args:
        sheet: With answers of the manual filled in.
        problem: As the sheet states it, before any finding.
        left: What is left of it after the findings, for the next action; None when the fault is gone.
        suspects: In the order of the sheet, none of these last.
        evidence: Oldest first.
        unpriced: Names of parts that nobody has priced.
        assumed: What nobody stated, in words.
        gone_by: Name of the repair after which the fault was gone; None while it is there.
        explained: How well anything listed explains the findings; small when something rare was found.
        before: What comes before each test and repair that cannot be done now, in words, by its key.
        finished: The job is closed.
    """

    sheet: Sheet
    problem: Problem
    left: Problem | None
    suspects: tuple[Suspect, ...]
    evidence: tuple[Evidence, ...]
    unpriced: tuple[str, ...]
    assumed: tuple[str, ...]
    gone_by: str | None = None
    explained: float = 1.0
    before: Mapping[str, str] = field(default_factory=dict)
    finished: bool = False

    @property
    def unpriced_words(self) -> str:
        """What parts without a price count as, in words; empty when there is none."""
        return unpriced_words(self.unpriced, self.problem.quote.price.money if self.problem.quote else None)

    @property
    def names(self) -> dict[str, str]:
        """What tests, repairs and checks after them are called, by their keys."""
        checks = {one.found.key: one.found.name for one in self.evidence if one.found.name}
        tests = {key: one.name for key, one in self.problem.test_of.items()}
        return tests | {key: one.name for key, one in self.problem.repair_of.items()} | checks

    @property
    def likeliest(self) -> tuple[Suspect, ...]:
        """Suspects, the likeliest first; none of these after its equals."""
        return tuple(sorted(self.suspects, key=lambda one: -one.after))


def suspected(
    garage: Garage,
    job: Job,
    further: Sequence[tuple[str, str]] = (),
    *,
    rate_per_hour: float | None = None,
    quote: float | None = None,
) -> Suspected | None:
    """Return what could be wrong in a job by now; None when its sheet names no suspects.

    Args:
        garage: Whose prices count.
        job: The job.
        further: Findings beside those of the job, as for `suspected_of`; they stand for older ones of the same test.
        rate_per_hour: What an hour of the person is worth to them, in place of what was stated. [money/h]
        quote: What the shop asks, in place of the job's own. [money]

    Raises:
        ValueError: Findings that no suspect allows together; the sentence says what to take back.
    """
    sheet = job.sheet
    if not sheet.suspects:
        return None
    prices = _with_rate(prices_of(garage.toolbox(), sheet), rate_per_hour)
    asked = job.quote if quote is None else quote
    anyway = anyway_of(job)
    problem = with_said(problem_of(sheet, prices=prices, quote=asked, anyway=anyway), said_in(job))
    typed = _typed(sheet, problem, further)
    standing = [
        one
        for one in findings_of(job, problem, jobs_before(garage, job))
        if one.key not in {each.key for each in typed}
    ]
    mended = problem.repair_of.get(helped(job) or "")
    found = _put_together(
        sheet, problem, counted(sheet, [*standing, *typed]),
        unpriced=unpriced(sheet, prices, anyway), assumed=_assumed(prices), gone_by=mended.name if mended else None,
    )  # fmt: skip
    return replace(found, before=before_of(job), finished=job.state.finished is not None)


def suspected_here(garage: Garage, job: Job) -> Suspected | None:
    """Return the same where findings that contradict each other are the person's to mend.

    Raises:
        Refused: Findings that no suspect allows together; the sentence says what to take back.
    """
    return parsed("", lambda: suspected(garage, job))


def suspected_of(
    sheet: Sheet,
    findings: Sequence[tuple[str, str]] = (),
    *,
    prices: Prices = NO_PRICES,
    rate_per_hour: float | None = None,
    quote: float | None = None,
) -> Suspected:
    """Return what could be wrong by a sheet alone, with findings in words.

    Args:
        sheet: With at least one suspect.
        findings: Pairs of a test's or a repair's key and what it showed.
        prices: What parts and an hour cost.
        rate_per_hour: What an hour of the person is worth to them. [money/h]
        quote: What the shop asks. [money]

    Raises:
        ValueError: No suspect, a test or an outcome that nobody defined, one twice, or findings that no suspect allows
            together.
    """
    known = _with_rate(prices, rate_per_hour)
    problem = problem_of(sheet, prices=known, quote=quote)
    found = counted(sheet, _typed(sheet, problem, findings))
    return _put_together(sheet, problem, found, unpriced=unpriced(sheet, known), assumed=_assumed(known))


def _with_rate(prices: Prices, rate_per_hour: float | None) -> Prices:
    return prices if rate_per_hour is None else replace(prices, hour=rate_per_hour)


def _typed(sheet: Sheet, problem: Problem, findings: Sequence[tuple[str, str]]) -> list[Found]:
    for key, _ in findings:
        if words := sealed_test(sheet, key):
            raise ValueError(words)
    return [Found(key, outcome, finding_of(problem, key, outcome)) for key, outcome in findings]


def anyway_of(job: Job) -> Anyway:
    """Return what a job does in any case: steps done, steps that wait for no finding, and what holds now."""
    run = job.run
    sure = {step.id for step in run.left if step.when is None and run.standing[step.id] is not Standing.PUT_OFF}
    return Anyway(frozenset(run.progress.done), frozenset(sure), run.facts)


def _assumed(prices: Prices) -> tuple[str, ...]:
    return () if prices.hour is not None else (f"an hour of your own time is worth {HOUR_OURS:g}",)


def _put_together(
    sheet: Sheet,
    problem: Problem,
    found: tuple[Found, ...],
    *,
    unpriced: Sequence[str],
    assumed: tuple[str, ...],
    gone_by: str | None = None,
) -> Suspected:
    counting = [one for one in found if one.told_by is None]
    belief = believe(problem, [one.evidence for one in counting])
    kinds = {key: one.safety.value for key, one in sheet.suspects.items() if one.safety}
    left = None if gone_by else _left(sheet, problem, found)
    return Suspected(
        sheet=sheet,
        problem=problem,
        left=left,
        suspects=tuple(
            Suspect(one.key, one.name, one.chance.value, belief.chances[one.key], kinds.get(one.key))
            for one in problem.causes
        ),
        evidence=_evidence(problem, found),
        unpriced=tuple(sheet.parts[one].name for one in unpriced),
        assumed=(*assumed, *_spared(sheet, problem, left, found)),
        gone_by=gone_by,
        explained=belief.explained,
    )


def _evidence(problem: Problem, found: Sequence[Found]) -> tuple[Evidence, ...]:
    counting = [one for one in found if one.told_by is None]
    rows = moved(problem, [one.evidence for one in counting])
    width = len(problem.causes)
    by_key = {one.key: tuple(rows[at * width : (at + 1) * width]) for at, one in enumerate(counting)}
    return tuple(Evidence(one, by_key.get(one.key, ()) if one.told_by is None else ()) for one in found)


def _left(sheet: Sheet, problem: Problem, found: Sequence[Found]) -> Problem:
    """What is left to do; of tests in one group, which all show the same, the cheapest, and none when one is done.

    A test that must not be done here or that tells nothing stands for no other.
    """
    counting = [one.evidence for one in found if one.told_by is None]
    left = remaining(problem, counting)
    told = {one.key for one in found}
    groups = {sheet.tests[key].group for key in told if key in sheet.tests} - {None}
    best: dict[str, str] = {}
    for test in telling(left):
        group = sheet.tests[test.key].group
        if group and (group not in best or _cost(left, test.key) < _cost(left, best[group])):
            best[group] = test.key
    gone = {
        test.key for test in left.tests
        if (group := sheet.tests[test.key].group) and (group in groups or best.get(group) != test.key)
    }  # fmt: skip
    return replace(left, tests=tuple(one for one in left.tests if one.key not in gone), free=left.free - gone)


def _spared(sheet: Sheet, problem: Problem, left: Problem | None, found: Sequence[Found]) -> tuple[str, ...]:
    """What is taken for granted where a dearer test of a group is not weighed."""
    if left is None:
        return ()
    done = {one.key for one in found}
    chosen = {sheet.tests[key].group for key in left.test_of} - {None}
    others = [one for one in telling(problem) if one.key not in left.test_of.keys() | done]
    return (CHEAPEST,) if any(sheet.tests[one.key].group in chosen for one in others) else ()


def _cost(problem: Problem, key: str) -> float:
    test = problem.test_of[key]
    return problem.cost(problem.own_price(test) + problem.access(problem.path(test.cover), problem.open_at_start))
