"""Doubtful parts of a job, and what the sheet says that it takes to get to them: now, and again later."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from knowngood.acts.garage import Job
from knowngood.checks.chances import shown_with
from knowngood.engine.troubleshooting.amounts import Price
from knowngood.engine.troubleshooting.doubtful import CheapTest
from knowngood.engine.troubleshooting.safety import SafetyKind
from knowngood.refusal import Refused
from knowngood.sheet.model import Cover, Decide, Sheet, Step, Test
from knowngood.sheet.suspects import Suspect

USUAL = 1  # of a step's three times


@dataclass(frozen=True)
class Doubtful:
    """A part about which somebody may have to decide.

    Args:
        key: Short name: of the decision of a step, else of the repair.
        name: What it is called.
        suspect: Key of the suspect that it is; None when the sheet names none.
        kind: The safety system that it belongs to.
        decide: The decision of a step; None when only a repair speaks of it.
        replace: The new part and its minutes, as far as the sheet says; None when it says nothing.
        again: Getting to it again later; None when the sheet says nothing.
        test: A test within reach that tells most, with its name; None when there is none left.
        watch: Until when it may wait, in the sheet's words.
    """

    key: str
    name: str
    suspect: str | None = None
    kind: SafetyKind | None = None
    decide: Decide | None = None
    replace: Price | None = None
    again: Price | None = None
    test: tuple[str, CheapTest] | None = None
    watch: str = ""


def doubtful_parts(sheet: Sheet, *, seen: tuple[str, ...] = ()) -> dict[str, Doubtful]:
    """Return every doubtful part of a sheet by its short name, those that a step decides about first.

    Args:
        sheet: Of the job.
        seen: Keys of tests whose outcome is known already: they are not proposed again.
    """
    found = {one.key: one for one in _of_steps(sheet, seen)}
    taken = {one.suspect for one in found.values() if one.suspect}
    for key, repair in sheet.repairs.items():
        if key not in found and not taken & set(repair.fixes):
            found[key] = _of_repair(sheet, key, seen)
    return found


def doubtful_part(sheet: Sheet, name: str) -> Doubtful:
    """Return one by its short name, or by that of its suspect or its repair.

    Raises:
        Refused: The sheet has none of that name.
    """
    found = doubtful_parts(sheet)
    if name in found:
        return found[name]
    if one := next((one for one in found.values() if one.suspect == name), None):
        return one
    if name in sheet.repairs:
        return _of_repair(sheet, name, ())
    if name in sheet.suspects:
        return Doubtful(name, sheet.suspects[name].name, name, sheet.suspects[name].kind)
    known = ", ".join((*found, *(one for one in sheet.suspects if one not in found))) or "none yet"
    raise Refused({"about": f'"{name}" is no doubtful part of this sheet. It has: {known}.'})


def within_reach(job: Job) -> list[Doubtful]:
    """Return the doubtful parts that can be got at now: whose step of deciding is next, or whose cover is off."""
    parts = doubtful_parts(job.sheet, seen=())
    return [one for one in parts.values() if _in_reach(job, one)]


def _in_reach(job: Job, part: Doubtful) -> bool:
    if part.decide is not None:
        step = next(one for one in job.sheet.steps if one.decide == part.decide)
        needs = {fact.text for fact in step.needs if fact.holds}
        return step.id in job.run.standing and needs <= job.run.facts and part.decide.id not in job.run.progress.decided
    cover = job.sheet.covers.get(job.sheet.repairs[part.key].cover or "")
    return cover is not None and cover.fact is not None and cover.fact.text in job.run.facts


def _of_steps(sheet: Sheet, seen: tuple[str, ...]) -> Iterator[Doubtful]:
    for step in sheet.steps:
        if step.decide is None or step.decide.about is None:
            continue
        about = step.decide.about
        repair = about.repair or next((key for key, one in sheet.repairs.items() if about.suspect in one.fixes), None)
        known = _of_repair(sheet, repair, seen) if repair else Doubtful(step.decide.id, step.decide.question)
        suspect = about.suspect or known.suspect
        named = sheet.suspects.get(suspect or "")
        cover = about.cover or (sheet.repairs[repair].cover if repair else None)
        yield Doubtful(
            step.decide.id,
            _name(named, known.name),
            suspect,
            named.kind if named else known.kind,
            step.decide,
            known.replace,
            covers_price(sheet, cover) if cover else way_price(sheet, step),
            known.test if suspect == known.suspect else _best_test(sheet, suspect, cover, seen),
            known.watch,
        )


def _name(suspect: Suspect | None, otherwise: str) -> str:
    return suspect.name if suspect else otherwise


def _of_repair(sheet: Sheet, key: str, seen: tuple[str, ...]) -> Doubtful:
    repair = sheet.repairs[key]
    suspect = next(iter(repair.fixes), None)
    named = sheet.suspects.get(suspect or "")
    minutes = repair.minutes.value if repair.minutes else steps_minutes(sheet, repair.step)
    replace = Price(repair.money or 0.0, minutes) if repair.money is not None else None
    again = covers_price(sheet, repair.cover) if repair.cover else None
    kinds = [one.kind for fixed in repair.fixes if (one := sheet.suspects.get(fixed)) and one.kind]
    return Doubtful(
        key,
        _name(named, repair.name),
        suspect,
        kinds[0] if kinds else None,
        None,
        replace,
        again,
        _best_test(sheet, suspect, repair.cover, seen),
        repair.watch or "",
    )


def steps_minutes(sheet: Sheet, steps: tuple[str, ...]) -> float:
    """Return the usual minutes of some steps together. [min]"""
    return sum(sheet.step(one).time.values[USUAL] for one in steps)


def covers_price(sheet: Sheet, cover: str | None) -> Price:
    """Return what opening and closing a cover takes, with all that it lies behind."""
    total, passed = Price(), set[str]()
    while cover is not None and cover not in passed:
        passed.add(cover)
        one = sheet.covers[cover]
        total += Price(one.money or 0.0, _opens(sheet, one) + _closes(sheet, one))
        cover = one.inside
    return total


def _opens(sheet: Sheet, cover: Cover) -> float:
    if cover.opens or cover.fact is None:
        return cover.opens.value if cover.opens else 0.0
    return sum(one.time.values[USUAL] for one in sheet.steps if cover.fact in one.makes)


def _closes(sheet: Sheet, cover: Cover) -> float:
    if cover.closes or cover.fact is None:
        return cover.closes.value if cover.closes else 0.0
    return sum(one.time.values[USUAL] for one in sheet.steps if cover.fact in one.ends)


def way_price(sheet: Sheet, step: Step) -> Price:
    """Return what it takes to come to a step again, and to put all back: the minutes of the steps on the way."""
    makers: Mapping[str, Step] = {fact.text: one for one in reversed(sheet.steps) for fact in one.makes}
    way, wanted, facts = dict[str, Step](), [step], set[str]()
    while wanted:
        for need in wanted.pop().needs:
            maker = makers.get(need.text)
            if need.holds and maker is not None and maker.id not in way:
                way[maker.id] = maker
                facts |= {fact.text for fact in maker.makes}
                wanted.append(maker)
    back = {one.id: one for one in sheet.steps if facts & {fact.text for fact in one.ends}}
    return Price(0.0, sum(one.time.values[USUAL] for one in {**way, **back}.values()))


def _best_test(
    sheet: Sheet, suspect: str | None, cover: str | None, seen: tuple[str, ...]
) -> tuple[str, CheapTest] | None:
    """The test that tells this suspect best from the others, in the open or behind the same cover."""
    found = [
        (one.name, _cheap(sheet, one, suspect))
        for key, one in sheet.tests.items()
        if suspect in one.shows and key not in seen and one.cover in (None, cover)
    ]
    return max(found, key=lambda one: one[1].sensitivity + one[1].specificity, default=None)


def _cheap(sheet: Sheet, test: Test, suspect: str | None) -> CheapTest:
    shows, silent = shown_with(test, suspect or "")[0].value, 1.0 - shown_with(test, "")[0].value
    minutes = test.minutes.value if test.minutes else steps_minutes(sheet, test.step)
    return CheapTest(Price(test.money or 0.0, minutes), shows, silent)


