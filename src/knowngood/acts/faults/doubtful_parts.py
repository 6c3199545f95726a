"""Doubtful parts of a job, and what the sheet says that it takes to get to them: now, and again later."""

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace

from knowngood.acts.faults.problem import NOTHING_ANYWAY, Anyway, problem_of
from knowngood.acts.job.garage import Job
from knowngood.acts.tools.prices import Prices
from knowngood.checks.safety import repair_safety
from knowngood.engine.troubleshooting.model.amounts import Price
from knowngood.engine.troubleshooting.model.parts import YES, Test
from knowngood.engine.troubleshooting.model.problem import Problem
from knowngood.engine.troubleshooting.model.safety import SafetyKind
from knowngood.engine.troubleshooting.worth.doubtful import CheapTest
from knowngood.gate import SEALED, hands_over, kind_of
from knowngood.refusal import Refused
from knowngood.sheet.model import Decide, Sheet, Step, WhenDecided

USUAL = 1  # of a step's three times
# The choice of a step that renews the part, and the one that leaves it in.
RENEW, LEAVE = "yes", "no"


@dataclass(frozen=True)
class Doubtful:
    """A part about which somebody may have to decide.

    Args:
        key: Short name: of the decision of a step, else of the repair or the suspect.
        name: What it is called.
        suspect: Key of the suspect that it is; None when the sheet names none.
        kind: The safety system that it belongs to.
        decide: The decision of a step; None when only a repair speaks of it.
        cover: Key of the cover that it lies behind; None when the sheet names none.
        replace: The new part and its minutes now; None when nobody priced the part.
        minutes: The same minutes, also when nobody priced the part. [min]
        later: The new part and its minutes, with no step that the job does anyway; None as above.
        again: Getting to it again later; None when the sheet says nothing.
        test: A test within reach that tells most, with its name; None when there is none left.
        watch: Until when it may wait, in the sheet's words.
    """

    key: str
    name: str
    suspect: str | None = None
    kind: SafetyKind | None = None
    decide: Decide | None = None
    cover: str | None = None
    replace: Price | None = None
    minutes: float | None = None
    later: Price | None = None
    again: Price | None = None
    test: tuple[str, CheapTest] | None = None
    watch: str = ""

    @property
    def handed_over(self) -> bool:
        """Renewing it is no work for home: by its system, or because the part is one that a workshop opens."""
        return self.kind is not None and (self.kind in SEALED or hands_over(self.name, self.kind))


def part_named(name: str) -> Doubtful:
    """Return a part of which nothing but the name is known."""
    return Doubtful(name or "part", name or "the part", kind=kind_of(name))


@dataclass(frozen=True)
class _Reader:
    """Reads one sheet: with what the job does anyway for now, without it for later."""

    sheet: Sheet
    prices: Prices
    seen: Collection[str]
    now: Problem | None
    later: Problem | None

    @classmethod
    def of(cls, sheet: Sheet, prices: Prices, anyway: Anyway, seen: Collection[str]) -> "_Reader":
        if not sheet.suspects:
            return cls(sheet, prices, seen, None, None)
        now, later = (problem_of(sheet, prices=prices, anyway=one) for one in (anyway, NOTHING_ANYWAY))
        return cls(sheet, prices, seen, now, later)

    def all(self) -> Iterator[Doubtful]:
        """Those that a step decides about, each repair by its first suspect, every suspect that no repair mends."""
        told: set[str | None] = set()
        mended: set[str | None] = set()
        for step in self.sheet.steps:
            if step.decide and step.decide.about:
                one = self.at_step(step, step.decide)
                told.add(one.suspect)
                yield one
        for key, repair in self.sheet.repairs.items():
            first = next(iter(repair.fixes))
            if first not in told:
                told.add(first)
                mended |= set(repair.fixes)
                yield self.of_repair(key)
        for key, suspect in self.sheet.suspects.items():
            if key not in told | mended:
                yield Doubtful(key, suspect.name, key, suspect.safety)

    def at_step(self, step: Step, decide: Decide) -> Doubtful:
        about = decide.about
        assert about is not None  # only such steps are asked for
        fixing = (key for key, one in self.sheet.repairs.items() if about.suspect in one.fixes)
        repair = about.repair or next(fixing, None)
        known = self.of_repair(repair) if repair else self.of_choice(decide)
        suspect = about.suspect or known.suspect
        named = self.sheet.suspects.get(suspect or "")
        cover = about.cover or known.cover
        return replace(
            known,
            key=decide.id,
            name=named.name if named else known.name,
            suspect=suspect,
            kind=(named.safety if named else None) or known.kind,
            decide=decide,
            cover=cover,
            again=self.access(cover) if cover else Price(minutes=way_minutes(self.sheet, step)),
            test=self.best_test(suspect, cover),
        )

    def of_choice(self, decide: Decide) -> Doubtful:
        """Where no repair speaks of it: the steps that come when it is renewed, and the parts that they fit."""
        renew = WhenDecided(decided=decide.id, **{"is": RENEW})
        steps = [one for one in self.sheet.steps if one.when == renew]
        minutes = sum(one.time.values[USUAL] * one.repeat for one in steps)
        parts = [part for one in steps for part in one.fit]
        priced = bool(parts) and all(part in self.prices.parts for part in parts)
        money = sum(self.prices.parts.get(part, 0.0) * self.sheet.parts[part].count for part in parts)
        fitted = self.sheet.parts[parts[0]] if parts else None
        name = fitted.name if fitted else decide.question
        kind = fitted.safety if fitted else kind_of(decide.question)
        price = Price(money, minutes) if priced else None
        return Doubtful(decide.id, name, kind=kind, replace=price, minutes=minutes if steps else None, later=price)

    def of_repair(self, key: str) -> Doubtful:
        repair, suspect = self.sheet.repairs[key], next(iter(self.sheet.repairs[key].fixes))
        named = self.sheet.suspects[suspect]
        priced = repair.money is not None or (
            bool(repair.part) and all(part in self.prices.parts for part in repair.part)
        )
        now, later = (problem.own_price(problem.repair_of[key]) for problem in (self.now, self.later) if problem)
        return Doubtful(
            key,
            named.name,
            suspect,
            repair_safety(self.sheet, key),
            cover=repair.cover,
            replace=now if priced else None,
            minutes=now.minutes,
            later=later if priced else None,
            again=self.access(repair.cover) if repair.cover else Price(),
            test=self.best_test(suspect, repair.cover),
            watch=repair.watch or "",
        )

    def access(self, cover: str | None) -> Price:
        return self.later.access(self.later.path(cover), ()) if self.later else Price()

    def best_test(self, suspect: str | None, cover: str | None) -> tuple[str, CheapTest] | None:
        """The test that tells this suspect best from the others, in the open or behind a cover that is off now."""
        if self.now is None or suspect is None:
            return None
        reach = self.now.path(cover) | self.now.open_at_start
        tests = [one for one in self.now.tests if one.key not in self.seen and self.now.path(one.cover) <= reach]
        found = [(one.name, _cheap(one, suspect)) for one in tests if one.safe and YES in one.outcomes]
        telling = [one for one in found if one[1].sensitivity + one[1].specificity > 1.0]
        return max(telling, key=lambda one: one[1].sensitivity + one[1].specificity, default=None)


def _cheap(test: Test, suspect: str) -> CheapTest:
    yes, others = test.outcome(YES), test.otherwise or test.row("other")
    return CheapTest(test.price, test.row(suspect)[yes].value, 1.0 - others[yes].value)


def doubtful_parts(
    sheet: Sheet, prices: Prices | None = None, *, anyway: Anyway = NOTHING_ANYWAY, seen: Collection[str] = ()
) -> dict[str, Doubtful]:
    """Return every doubtful part of a sheet by its short name, those that a step decides about first.

    Args:
        sheet: Of the job.
        prices: What parts cost.
        anyway: What the job does in any case.
        seen: Keys of tests whose outcome is known already: they are not proposed again.
    """
    return {one.key: one for one in _Reader.of(sheet, prices or Prices(), anyway, seen).all()}


def doubtful_part(parts: Mapping[str, Doubtful], name: str) -> Doubtful:
    """Return one by its short name, or by that of its suspect.

    Raises:
        Refused: There is none of that name.
    """
    found = parts.get(name) or next((one for one in parts.values() if one.suspect == name), None)
    if found is None:
        known = ", ".join(parts) or "none yet"
        raise Refused({"about": f'"{name}" is no doubtful part of this sheet. It has: {known}.'})
    return found


def in_reach(job: Job, part: Doubtful) -> bool:
    """Can it be got at now: is the step of deciding next, or its cover off?"""
    if part.decide is not None:
        step = next(one for one in job.sheet.steps if one.decide == part.decide)
        needs = {fact.text for fact in step.needs if fact.holds}
        return step.id in job.run.standing and needs <= job.run.facts
    cover = job.sheet.covers.get(part.cover or "")
    return cover is not None and cover.fact is not None and cover.fact.text in job.run.facts


def way_minutes(sheet: Sheet, step: Step) -> float:
    """Return what it takes to come to a step again, and to put all back: the usual time of the steps on the way. [min]

    What stays as it is, such as a vehicle that is parked, is on no way.
    """
    makers = {fact.text: one for one in reversed(sheet.steps) for fact in one.makes}
    way, wanted, facts = dict[str, Step](), [step], set[str]()
    while wanted:
        for need in wanted.pop().needs:
            maker = makers.get(need.text)
            if need.holds and maker is not None and maker.id not in way:
                way[maker.id] = maker
                facts |= {fact.text for fact in maker.makes}
                wanted.append(maker)
    back = {one.id: one for one in sheet.steps if facts & {fact.text for fact in one.ends}}
    return sum(one.time.values[USUAL] for one in {**way, **back}.values())
