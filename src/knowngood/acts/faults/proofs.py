"""Proofs that it is gone, and that the work holds: what must be driven, looked at or passed before a job closes."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from knowngood.acts.faults.checked_again import CheckedAgain, checked_again
from knowngood.acts.job.garage import Job
from knowngood.checks.chances import shown_with
from knowngood.engine.judgement import Verdict, percent
from knowngood.engine.troubleshooting.model.parts import OTHER, YES
from knowngood.engine.troubleshooting.model.safety import SafetyKind
from knowngood.engine.troubleshooting.worth.proof import LEVELS, Drive, Proof, Returns, prove
from knowngood.sheet.circuits import Fluid
from knowngood.store.event import Event

EVERYDAY, SURE = LEVELS
# Ours, when nobody says how sure the mend is.
USUALLY_RIGHT = 0.7
DRIVE, WHEELS_AGAIN = "drive", "wheels"
# Begins the keys of proofs that only a reading gives.
BY_READING = "limit:"
# What a return is counted in; the engine does not care.
PER = {"km": "km", "warm-ups": "warm-ups", "days": "days"}


@dataclass(frozen=True)
class Owed:
    """One proof.

    Args:
        key: Short and stable.
        what: What has to be seen.
        how: In a sentence.
        state: "open", "in", or "failed".
        words: What was seen so far.
        told: Of a fault that came and went: how far it is proved; None for any other.
        per: What its distances are counted in.
        watched: It was turned into something to keep an eye on.
    """

    key: str
    what: str
    how: str
    state: str = "open"
    words: str = ""
    told: Proof | None = None
    per: str = ""
    watched: bool = False

    @property
    def holds_up(self) -> bool:
        """It stands against closing the job."""
        return self.state != "in" and not self.watched

    @property
    def by_reading(self) -> bool:
        """A reading after the repair proves it."""
        return self.key.startswith(BY_READING)

    @property
    def by_hand(self) -> bool:
        """It is seen, and written down; the others follow from drives and readings."""
        return self.key != DRIVE and not self.by_reading


def proofs_of(job: Job) -> list[Owed]:
    """Return every proof that a job owes by what was done in it, with how each stands."""
    watched = {event.data.get("proof") for event in job.state.watches}
    return [_watched(one, watched) for one in (*_faults(job), *_readings(job), *_looks(job))]


def returns_of(job: Job) -> Event | None:
    """Return how the fault came back before, as stated last."""
    return next(reversed(job.state.kept("returns_stated")), None)


def drives_of(job: Job) -> list[Event]:
    """Return the drives since that was stated, oldest first."""
    kept = job.state.kept("returns_stated", "proof_driven")
    last = max((at for at, event in enumerate(kept) if event.kind == "returns_stated"), default=len(kept))
    return kept[last + 1 :]


def proved(job: Job) -> Proof | None:
    """Return how surely a fault that came and went is gone; None when nobody said how it came back."""
    stated = returns_of(job)
    if stated is None:
        return None
    data = stated.data
    drives = [Drive(event.data["distance"], event.data["came_back"]) for event in drives_of(job)]
    return prove(data["before"], Returns(data["times"], data["over"]), drives)


def needed_words(told: Proof, per: str) -> str:
    """Return how far is to drive, or what the drives so far say."""
    if told.came_back:
        return "It came back, so the mend was not it. That counts as one more return: say it anew for the next mend."
    far = {level: distance_words(distance, per) for level, distance in told.to_go.items()}
    if told.believed >= SURE:
        return f"It is gone, as surely as {percent(told.believed)}: {distance_words(told.quiet, per)} without it."
    first = f"{far[EVERYDAY]} more without it for 4 times out of 5, " if told.to_go[EVERYDAY] > 0.0 else ""
    now = f"Gone with {percent(told.believed)} so far"
    return f"{now}; {first}{far[SURE]} {'' if first else 'more without it '}for 19 times out of 20."


def distance_words(distance: float, per: str) -> str:
    """Return a distance in what it is counted in, rounded up so that it is enough.

    Example:
        >>> distance_words(453.2, "km"), distance_words(2.1, "warm-ups")
        ('460 km', '3 warm-ups')
    """
    step = 10.0 if distance >= 100.0 else 1.0
    return f"{step * -(-(distance - 1e-9) // step):.0f} {per}"


# --- the fault itself -------------------------------------------------------------------------------------------------


def _faults(job: Job) -> Iterator[Owed]:
    told, stated = proved(job), returns_of(job)
    if told is not None and stated is not None:
        per = stated.data["per"]
        how = f"It came {stated.data['times']} times over {stated.data['over']:g} {per}."
        state = "failed" if told.came_back else "in" if told.believed >= SURE else "open"
        what = "Drive as when it came, without it coming back"
        yield Owed(DRIVE, what, how, state, needed_words(told, per), told, per)
        return
    for key in _shown(job):
        name = job.sheet.tests[key].name
        yield _seen(
            job, f"test:{key}", f"{name}: it must not show it any more", "It showed the fault; it must now pass."
        )
        return


def _readings(job: Job) -> Iterator[Owed]:
    """What is read after a repair: it proves the repair, or says that it did not help."""
    for one in checked_again(job):
        name = job.sheet.limits[one.limit].name
        state = READ_STATES.get(one.standing, "open")
        yield Owed(f"{BY_READING}{one.limit}", name, READ_AGAIN, state, _read_words(one))


READ_AGAIN = "Read it after the repair: within its limits, it is mended."


READ_STATES: dict[Verdict | None, str] = {Verdict.WITHIN: "in", Verdict.OUT: "failed"}


def _read_words(one: CheckedAgain) -> str:
    """What the reading said; of one before the last repair that it is to be read again."""
    if one.reading is None:
        return ""
    told = str(one.reading.data["sentence"])
    return f"{told} Something was mended since: read it again." if one.mended_since else told


def unproved_words(job: Job) -> tuple[str, list[str]]:
    """Return what to say at the end of the work of proofs that failed or wait for a reading: a title and rows.

    What is only to be looked at is told where the job is closed.
    """
    owed = [one for one in proofs_of(job) if one.holds_up and (one.state == "failed" or one.by_reading)]
    if not owed:
        return "", []
    failed = [one for one in owed if one.state == "failed"]
    mended = "a proof failed" if failed and not any(one.by_reading for one in failed) else "not mended"
    title = f"All steps done, and {mended if failed else 'not proved yet'}"
    return title, [f"{one.what}. {one.words or one.how}" for one in failed or owed]


def _shown(job: Job) -> list[str]:
    """Tests that showed the fault, the newest first: the newest word on each is that it does."""
    noted = job.state.newest("finding_noted", "test")
    found = [key for key, event in noted.items() if key in job.sheet.tests and event.data["outcome"] == YES]
    found = [key for key in found if job.sheet.tests[key].shows and _tells(job, key)]
    return found[::-1] if _mended(job) else []


def _tells(job: Job, key: str) -> bool:
    """Does it show the fault more often than it shows without?"""
    test = job.sheet.tests[key]
    without = shown_with(test, OTHER)[0].value
    return max(shown_with(test, suspect)[0].value for suspect in test.shows) > without


def _mended(job: Job) -> bool:
    """Was anything renewed, tightened, filled or tried?"""
    fitted = any(job.sheet.step(one).fit for one in job.run.progress.done)
    tried = any(one in job.sheet.repairs for one in job.state.newest("finding_noted", "test"))
    return fitted or tried or bool(job.state.bolts)


# --- what the work itself owes ----------------------------------------------------------------------------------------


def _looks(job: Job) -> Iterator[Owed]:
    """By what the job did: common practice, no source."""
    for applies, key, what, how in LOOKS:
        if applies(job):
            yield _seen(job, key, what, how)
    for circuit in _filled(job):
        name = job.sheet.circuits[circuit].name
        yield _seen(job, f"level:{circuit}", f"{name}: check the level again", AGAIN)


AGAIN = "After the first drive, the way that your manual says: what was trapped has found its way by then."


def _filled(job: Job) -> list[str]:
    fills = (job.sheet.step(one).fill for one in job.run.progress.done)
    return list(dict.fromkeys(fill.circuit for fill in fills if fill))


def _has_filled(job: Job) -> bool:
    return bool(_filled(job))


def _braked(job: Job) -> bool:
    fluids = {job.sheet.circuits[one].fluid for one in _filled(job)}
    return Fluid.BRAKE_FLUID in fluids or SafetyKind.BRAKES in {*_worked_on(job), *_mended_kinds(job)}


def _wheeled(job: Job) -> bool:
    return SafetyKind.WHEELS in {*_worked_on(job), *_mended_kinds(job)}


def _mended_kinds(job: Job) -> set[SafetyKind | None]:
    """What the repairs that were tried belong to, done by a step of the sheet or not."""
    tried = (job.sheet.repairs[one] for one in job.state.newest("finding_noted", "test") if one in job.sheet.repairs)
    return {job.sheet.suspects[fixed].safety for repair in tried for fixed in repair.fixes}


def _worked_on(job: Job) -> set[SafetyKind | None]:
    """What the bolts that were signed and the parts that were fitted belong to."""
    signed = [
        job.sheet.fasteners[one] for event in job.state.bolts if (one := event.data["fastener"]) in job.sheet.fasteners
    ]
    fitted = [job.sheet.parts[part] for one in job.run.progress.done for part in job.sheet.step(one).fit]
    return {one.safety for one in (*signed, *fitted)}


# Common practice, no source: what work owes before it counts as done.
LOOKS: tuple[tuple[Callable[[Job], bool], str, str, str], ...] = (
    (
        _braked,
        "brakes",
        "Road test of the brakes, at walking pace first",
        "Pump the pedal until it is firm, stop from walking pace three times, then from everyday speeds; do not drive "
        "on a soft pedal.",
    ),
    (
        _wheeled,
        WHEELS_AGAIN,
        "Wheel bolts: tighten again to their torque after 50–100 km",
        "They settle; do it cold, in the order that your manual says.",
    ),
    (
        _has_filled,
        "leaks",
        "Look for leaks after a warm-up",
        "Warm, at rest, then with the engine off: plugs, seams, hoses, and the floor under them the next morning.",
    ),
)


def _seen(job: Job, key: str, what: str, how: str) -> Owed:
    event = job.state.newest("proof_seen", "proof").get(key)
    if event is None:
        return Owed(key, what, how)
    said = event.data["text"]
    state = "in" if event.data["passed"] else "failed"
    return Owed(key, what, how, state, said or ("Seen: as it should be." if state == "in" else "Not as it should be."))


def _watched(one: Owed, watched: set[str | None]) -> Owed:
    return Owed(**{**vars(one), "watched": one.key in watched})


def proof_words(one: Owed) -> str:
    """Return a proof in one line, as the book has it."""
    state = {"in": "proved", "failed": "failed", "open": "not proved"}[one.state]
    more = f" {one.words}" if one.words else ""
    return f"{one.what}: {'kept an eye on' if one.watched and one.state != 'in' else state}.{more}"
