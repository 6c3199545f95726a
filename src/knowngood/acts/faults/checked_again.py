"""Readings that say whether a repair has helped: of the check after it, or once more of what was out before it."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from knowngood.acts.job.garage import Job
from knowngood.checks.chances import shown_with
from knowngood.engine.judgement import Verdict
from knowngood.engine.troubleshooting.belief.rechecked import SHOWS_AGAIN, SHOWS_GONE, Rechecked
from knowngood.engine.troubleshooting.model.parts import OTHER
from knowngood.sheet.model import Sheet
from knowngood.store.event import Event

GONE = "gone"
# Ours: where an entry stands that is not kept yet.
COMES_NEXT = 10**9


@dataclass(frozen=True)
class CheckedAgain:
    """A limit that is read after a repair.

    Args:
        limit: Short name.
        repairs: Keys of all repairs that were done before the reading, in their order.
        reading: The newest reading since the first of them; None while nobody read.
        mended_since: A repair was done after that reading, so it is to be read again.
        out_before: It was clearly out before them.
        of_check: It is read by the step that the sheet names as its check.
    """

    limit: str
    repairs: tuple[str, ...]
    reading: Event | None
    mended_since: bool
    out_before: bool
    of_check: bool

    @property
    def verdict(self) -> Verdict | None:
        """Of its reading."""
        return Verdict(self.reading.data["judgement"]["verdict"]) if self.reading else None

    @property
    def standing(self) -> Verdict | None:
        """Of its reading, where that is clear and nothing was mended since."""
        return None if self.mended_since or self.verdict is Verdict.CANT_TELL else self.verdict


@dataclass(frozen=True)
class _Told:
    """What a job's entries say of repairs and readings, each with its place in their order."""

    job: Job

    @property
    def places(self) -> Mapping[str, int]:
        return self.job.state.places

    @cached_property
    def repaired(self) -> dict[str, int]:
        """Repairs by the place at which each was done: all its steps, or noted as tried; the earliest first."""
        done = {event.data["step"]: self.places[event.id] for event in self.job.state.done}
        found = {
            key: max(done[step] for step in one.step)
            for key, one in self.job.sheet.repairs.items()
            if one.step and done.keys() >= set(one.step)
        }
        for key, event in self.job.state.newest("finding_noted", "test").items():
            if key in self.job.sheet.repairs:
                found.setdefault(str(key), self.places[event.id])
        return dict(sorted(found.items(), key=lambda pair: pair[1]))

    def readings(self, limit: str) -> list[tuple[int, Event]]:
        return [(self.places[event.id], event) for event in self.job.verdicts_of(limit)]


def checked_again(job: Job) -> list[CheckedAgain]:
    """Return every limit whose reading says, or has yet to say, whether a repair has helped; the check's first."""
    told, checks = _Told(job), check_limits(job.sheet)
    others = [limit for limit in job.sheet.limits if limit not in checks]
    found = [_checked(told, limit, of_check=limit in checks, until=COMES_NEXT) for limit in (*checks, *others)]
    return [one for one in found if one is not None and (one.of_check or one.reading is not None)]


def checks_repair(job: Job, limit: str) -> bool:
    """Would a reading of this limit, taken now, say whether a repair has helped?"""
    of_check = limit in check_limits(job.sheet)
    return _checked(_Told(job), limit, of_check=of_check, until=COMES_NEXT) is not None


def checked_repair(job: Job, reading: Event) -> bool:
    """Did a reading of this job, where it was read, say whether a repair had helped?"""
    limit, until = str(reading.data["limit"]), job.state.places[reading.id]
    return _checked(_Told(job), limit, of_check=limit in check_limits(job.sheet), until=until) is not None


def check_readings(job: Job) -> set[str]:
    """Return the ids of readings that say whether a repair has helped; they are no evidence of the fault before it."""
    told, checks = _Told(job), check_limits(job.sheet)
    return {
        event.id
        for limit in job.sheet.limits
        for place, event in told.readings(limit)
        if _checked(told, limit, of_check=limit in checks, until=place) is not None
    }


def check_limits(sheet: Sheet) -> tuple[str, ...]:
    """Return the limits that the check after a repair reads."""
    steps = sheet.check_after.step if sheet.check_after else ()
    return tuple(dict.fromkeys(limit for step in steps for limit in sheet.step(step).read))


def evidence_of(job: Job) -> tuple[CheckedAgain, Rechecked] | None:
    """Return the newest reading after a repair as evidence; None where there is none.

    One alone counts: another check of the same repairs would count their failure twice.
    """
    read = [one for one in checked_again(job) if one.reading is not None]
    if not read:
        return None
    places = _Told(job).places
    newest = max(read, key=lambda one: places[one.reading.id] if one.reading else -1)
    return newest, _evidence(job, newest)


def gone_by_check(job: Job) -> tuple[Event, str | None] | None:
    """Return the newest clear word of a check on the fault: its event, and the repair after which it is gone.

    The repair is None where it is there still; what a reading of another limit than the check's shows can only reopen
    what was believed mended.
    """
    found = [
        (one.reading, one.repairs[-1] if one.standing is Verdict.WITHIN else None)
        for one in checked_again(job)
        if one.reading is not None and one.standing and (one.of_check or one.standing is Verdict.OUT)
    ]
    places = _Told(job).places
    return max(found, key=lambda pair: places[pair[0].id], default=None)


def _checked(told: _Told, limit: str, *, of_check: bool, until: int) -> CheckedAgain | None:
    """The limit at one place of the entries; None where it says nothing of a repair there."""
    done = {key: place for key, place in told.repaired.items() if place < until}
    mending = done if of_check else {key: done[key] for key in _mending(told.job.sheet, limit) if key in done}
    if not mending:
        return None
    first, last = min(mending.values()), max(mending.values())
    before = [event for place, event in told.readings(_read_before(told.job.sheet, limit)) if place < first]
    verdict = Verdict(before[-1].data["judgement"]["verdict"]) if before else None
    if verdict is Verdict.WITHIN or (verdict is None and not of_check):
        return None
    since = [(place, event) for place, event in told.readings(limit) if first < place < until]
    place, reading = since[-1] if since else (-1, None)
    before_it = tuple(key for key, at in done.items() if reading is None or at < place)
    return CheckedAgain(limit, before_it, reading, place < last, verdict is Verdict.OUT, of_check)


def _read_before(sheet: Sheet, limit: str) -> str:
    return sheet.limits[limit].again or limit


def _mending(sheet: Sheet, limit: str) -> Iterator[str]:
    """Repairs of what the test of a limit shows."""
    source = _read_before(sheet, limit)
    shown = {suspect for test in sheet.tests.values() if test.limit == source for suspect in test.shows}
    return (key for key, one in sheet.repairs.items() if shown & one.fixes.keys())


def _evidence(job: Job, one: CheckedAgain) -> Rechecked:
    assert one.reading is not None  # only what was read is evidence
    sheet, source = job.sheet, _read_before(job.sheet, one.limit)
    test = next((test for test in sheet.tests.values() if test.limit == source), None)
    # A repair that the person said did not help is evidence by itself, and counts once.
    noted = job.state.newest("finding_noted", "test")
    failed = {key for key, event in noted.items() if key in sheet.repairs and event.data["outcome"] != GONE}
    without = shown_with(test, OTHER)[0].value if test else SHOWS_GONE
    shows = {} if one.out_before or test is None else {key: shown_with(test, key)[0].value for key in test.shows}
    return Rechecked(
        f"check:{one.reading.id}",
        tuple(key for key in one.repairs if key not in failed),
        1.0 - float(one.reading.data["judgement"]["probability_inside"]),
        shows,
        SHOWS_AGAIN if one.out_before or test is None else without,
        without,
    )
