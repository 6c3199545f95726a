"""The run: which step is now, what stands open, what is left to undo."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum

from knowngood.acts.job.torques import torque_words
from knowngood.engine.planning.order import Action, missing, replay
from knowngood.sheet.facts import WORDS, Fact, texts
from knowngood.sheet.model import Outcome, Sheet, Step, WhenDecided, WhenLimit
from knowngood.sheet.standing import LOST_WITH, SET_UP


class Standing(StrEnum):
    """How a step stands in the run."""

    DONE = "done"
    NOW = "now"
    LATER = "later"
    PUT_OFF = "put off"
    RULED_OUT = "not needed"
    WAITING = "waits for a finding"


@dataclass(frozen=True)
class Stood:
    """What somebody said of how the vehicle stands now, once so many steps were done.

    Args:
        after: How many.
        makes: Facts that hold.
        ends: Facts that no longer do.
    """

    after: int
    makes: tuple[str, ...] = ()
    ends: tuple[str, ...] = ()


@dataclass(frozen=True)
class Progress:
    """What has happened, as far as the run depends on it.

    Args:
        order: Step ids of the newest plan.
        done: Step ids in the order they were done, once for each round.
        put_off: Step id to the reason why it could not be done.
        found: Limit id to the newest outcome.
        decided: Decision id to the newest choice.
        silent: Questions to which the manual says nothing.
        said: How the vehicle was said to stand, in this job or in another of the same vehicle.
    """

    order: Sequence[str]
    done: Sequence[str] = ()
    put_off: Mapping[str, str] = field(default_factory=dict)
    found: Mapping[str, Outcome] = field(default_factory=dict)
    decided: Mapping[str, str] = field(default_factory=dict)
    silent: Collection[str] = ()
    said: Sequence[Stood] = ()


@dataclass(frozen=True)
class Run:
    """The run as it stands: the facts that hold, how each step of the plan stands, the rounds that count as done."""

    sheet: Sheet
    progress: Progress
    facts: frozenset[str]
    standing: Mapping[str, Standing]
    done: Sequence[str] = ()

    @property
    def now(self) -> Step | None:
        """The one next step; None when nothing can be next."""
        found = next((one for one, how in self.standing.items() if how is Standing.NOW), None)
        return self.sheet.step(found) if found else None

    @property
    def left(self) -> list[Step]:
        """Steps still to do, in the plan's order."""
        open_ = (Standing.NOW, Standing.LATER, Standing.PUT_OFF, Standing.WAITING)
        return [self.sheet.step(one) for one, how in self.standing.items() if how in open_]

    def action_of(self, step_id: str) -> Action:
        """A step as the planner sees it."""
        return action(self.sheet.step(step_id))

    @property
    def finished(self) -> bool:
        """Nothing is left to do."""
        return not self.left


def in_scope(step: Step, scope: Collection[str]) -> bool:
    """Does the step belong to the chosen size of the job? One without a scope always does."""
    return not step.scope or not scope or bool(set(step.scope) & set(scope))


def action(step: Step) -> Action:
    """The step as the planner sees it, implied facts written out."""
    ends = tuple(fact.text for fact in step.ends)
    return Action(step.id, tuple(fact.text for fact in step.needs), texts(step.makes), ends, step.after)


def start(sheet: Sheet, progress: Progress) -> Run:
    """Return how the run stands after what has happened."""
    facts, done = _replayed(sheet, progress)
    standing: dict[str, Standing] = {}
    finished = {step.id for step in sheet.steps if done.count(step.id) >= step.repeat}
    idle = _idle(sheet, progress)
    satisfied = finished | set(idle)
    for step_id in progress.order:
        step = sheet.step(step_id)
        if step_id in finished:
            standing[step_id] = Standing.DONE
        elif (how := idle.get(step_id, _when(step, progress))) is not Standing.LATER:
            standing[step_id] = how
        elif step_id in progress.put_off:
            standing[step_id] = Standing.PUT_OFF
        elif Standing.NOW in standing.values() or missing(action(step), facts, satisfied | _outside(sheet, progress)):
            standing[step_id] = Standing.LATER
        else:
            standing[step_id] = Standing.NOW
    return Run(sheet, progress, facts, standing, done)


def _replayed(sheet: Sheet, progress: Progress) -> tuple[frozenset[str], list[str]]:
    """What holds, and what counts as done: what was set up and stands no longer is set up anew."""
    known = {step.id for step in sheet.steps}
    facts, done = frozenset(texts(sheet.start)), list[str]()
    for number, step_id in enumerate((*progress.done, "")):
        for said in (one for one in progress.said if one.after == number):
            lost = [undone(sheet, fact) for fact in said.ends if fact in facts and is_set_up(fact)]
            facts -= {fact for one in lost for fact in one.facts}
            facts |= set(said.makes)
            done = [one for one in done if not any(one in each.steps for each in lost)]
        if step_id in known:
            facts = replay(facts, [action(sheet.step(step_id))])
            done.append(step_id)
    return facts, done


@dataclass(frozen=True)
class Undone:
    """What falls with a fact that had to be set up: facts that hold no longer, and steps that are done anew."""

    facts: tuple[str, ...]
    steps: tuple[str, ...]


def is_set_up(fact: str) -> bool:
    """Is it a state that the same steps set up again, such as raised(front)?"""
    return Fact.read(fact).word in SET_UP


def undone(sheet: Sheet, fact: str) -> Undone:
    """Return what falls with a fact: the steps that made it, and what only held with it.

    A word of the sheet's own that was made on it falls too, such as stands that were shaken; work once done stays.
    """
    gone, steps = {fact}, set[str]()
    made = {*texts(sheet.start), *(text for step in sheet.steps for text in texts(step.makes))}
    while True:
        words = {Fact.read(one).word for one in gone}
        more = {one for one in made - gone if words & set(LOST_WITH.get(Fact.read(one).word, ()))}
        more |= {one for one in made - gone if gone & set(texts([Fact.read(one)]))}
        for step in sheet.steps:
            makes = set(texts(step.makes))
            if gone & {need.text for need in step.needs}:
                more |= {one for one in makes - gone if Fact.read(one).word not in WORDS}
            if makes & (gone | more):
                steps.add(step.id)
        if not more:
            return Undone(tuple(sorted(gone)), tuple(step.id for step in sheet.steps if step.id in steps))
        gone |= more


def _outside(sheet: Sheet, progress: Progress) -> set[str]:
    """Steps that the plan leaves out: nothing waits for them."""
    return {step.id for step in sheet.steps} - set(progress.order)


def _found(step: Step, progress: Progress) -> str | None:
    """What was found or decided about the step's `when`; None while nothing was."""
    match step.when:
        case WhenLimit(limit=limit):
            return progress.found.get(limit)
        case WhenDecided(decided=decision):
            return progress.decided.get(decision)
    return None


def _when(step: Step, progress: Progress) -> Standing:
    """LATER when its `when` lets it be done, else waiting or ruled out; a doubtful reading rules nothing out."""
    found = _found(step, progress)
    if step.when is None or found == step.when.is_:
        return Standing.LATER
    return Standing.WAITING if found in (None, Outcome.CANT_TELL) else Standing.RULED_OUT


def _idle(sheet: Sheet, progress: Progress) -> dict[str, Standing]:
    """Steps that hold nobody up, and how they stand.

    They are ruled out, or wait for a reading that was taken and stayed in doubt: can't tell never blocks. So do those
    that wait for what only such steps would find.
    """
    found = {step.id: _found(step, progress) for step in sheet.steps}
    stands = {step.id: _when(step, progress) for step in sheet.steps}
    idle: dict[str, Standing] = {}
    idle |= {one: how for one, how in stands.items() if how is not Standing.LATER and found[one] is not None}
    planned = [sheet.step(one) for one in progress.order]
    open_ = [step for step in planned if step.when and found[step.id] is None]
    while True:
        more: dict[str, Standing] = {}
        for step in open_:
            finders = [one.id for one in planned if one is not step and _finds(one, step)]
            if step.id not in idle and finders and all(one in idle for one in finders):
                doubtful = any(idle[one] is Standing.WAITING for one in finders)
                more[step.id] = Standing.WAITING if doubtful else Standing.RULED_OUT
        if not more:
            return idle
        idle |= more


def _finds(step: Step, waiting: Step) -> bool:
    """Would the step find what the other one waits for?"""
    match waiting.when:
        case WhenLimit(limit=limit):
            return limit in step.read
        case WhenDecided(decided=decision):
            return step.decide is not None and step.decide.id == decision
    return False


def blocked_by(run: Run, step: Step) -> list[str]:
    """What keeps a step from being next, in the mechanic's words."""
    unmet = missing(action(step), run.facts, {one for one, how in run.standing.items() if how is Standing.DONE})
    return [need if need.startswith("step ") else Fact.read(need).says for need in unmet]


def standing_open(run: Run) -> list[str]:
    """What holds now and must not stay so, in the mechanic's words."""
    rows = [Fact.read(text) for text in sorted(run.facts - set(texts(run.sheet.start)))]
    implied = {one for fact in rows for one in fact.implied}
    return [
        fact.says for fact in rows if fact not in implied and fact.word in WORDS and not WORDS[fact.word].stands_at_end
    ]


def to_undo(run: Run) -> list[str]:
    """What was loosened, drained or taken off and must be put right before the end."""
    loosened = {one for step_id in run.progress.done for one in run.sheet.step(step_id).loosen}
    rows = []
    for step in run.left:
        for name in step.tighten:
            if name in loosened:
                fastener = run.sheet.fasteners[name]
                torque = torque_words(fastener, run.progress.silent)
                rows.append(f"{fastener.count} × {fastener.name}, {torque}")
        if step.fill and any(run.sheet.step(one).drain == step.fill.circuit for one in run.progress.done):
            rows.append(f"{run.sheet.circuits[step.fill.circuit].name} in: {step.do}")
    return list(dict.fromkeys(rows))
