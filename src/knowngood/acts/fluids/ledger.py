"""The ledger of a circuit: what a job moved, each pouring at 20 °C, and what is still owed, with its doubt."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from knowngood import units
from knowngood.acts.fluids.circuit_facts import liquid_of, total_stated
from knowngood.acts.fluids.vessels import vessel_from
from knowngood.acts.job.garage import Job
from knowngood.acts.job.run import Standing
from knowngood.engine.fluids.expansion import REFERENCE_C, Liquid
from knowngood.engine.fluids.ledger import JUG, LitreForLitre, Moved, Vessel, Way, balance, litre_for_litre
from knowngood.engine.judgement import Band, Estimate
from knowngood.sheet.circuits import Circuit
from knowngood.sheet.model import AskRef, Step
from knowngood.store.event import Event

WAYS = {
    Way.OUT: "came out",
    Way.IN: "went in",
    Way.SPILLED: "went on the ground",
    Way.LEFT: "left in a part that came off",
}
# Ours: what a sheet says stays in a part, without saying how far it is off.
LEFT_OFF = 0.75


@dataclass(frozen=True)
class Entry:
    """One pouring of the ledger.

    Args:
        moved: As the engine takes it.
        typed: The words as typed, or as the sheet has them.
        step: Id of the step that it came with; None beside the steps.
        part: Id of the part that it stayed in; None for all else.
        event: What says so: the pouring, or the step that fitted the new part.
        assumed: Nobody wrote it down: the sheet says that so much stays in such a part.
    """

    moved: Moved
    typed: str
    step: str | None
    part: str | None
    event: Event
    assumed: bool = False


@dataclass(frozen=True)
class Unwritten:
    """A step that is done, and whose amount nobody wrote down.

    Args:
        step: Its id.
        number: Its number in the plan.
        way: It came out, or went in.
    """

    step: str
    number: int
    way: Way


@dataclass(frozen=True)
class Told:
    """The ledger of a circuit.

    Args:
        circuit: Its id.
        name: What the mechanic calls it.
        entries: Pourings, oldest first; what is assumed at the step that fits the new part.
        volumes: Each of them. [L at 20 °C]
        owed: Gone less in. [L at 20 °C]
        against: Pouring back litre for litre against what is owed; None before anything was gone.
        pour_c: Temperature of what goes in next. [°C]
        allowed: How far the level may be off; None where nobody says it as a volume. [L]
        filled: All steps that fill it are done: from here on its level says what it holds.
        total: What it holds in all, as the manual states it; None when nobody looked. [L]
        unwritten: Steps at which it came out or went in and nobody wrote down how much.
    """

    circuit: str
    name: str
    entries: tuple[Entry, ...]
    volumes: tuple[Estimate, ...]
    owed: Estimate
    against: LitreForLitre | None
    pour_c: float
    allowed: Band | None
    filled: bool = False
    total: Estimate | None = None
    unwritten: tuple[Unwritten, ...] = ()

    @property
    def beyond(self) -> bool:
        """Is more owed than it holds, whatever the doubt? Then what was written down cannot be all right."""
        return self.total is not None and self.owed.interval(0.95)[0] > self.total.interval(0.95)[1]

    @property
    def gone_l(self) -> float:
        """All that is not in the circuit any more, as read. [L]"""
        return sum(one.moved.litre for one in self.entries if one.moved.way is not Way.IN)

    @property
    def came_in_l(self) -> float:
        """What went in, as read. [L]"""
        return sum(one.moved.litre for one in self.entries if one.moved.way is Way.IN)


def ledger(job: Job, circuit: str) -> Told:
    """Return the ledger of a circuit, as it stands.

    Args:
        job: Whose.
        circuit: Its id.

    Source:
        GUM, 5.1.2, linear law; the growth with heat as in `engine.fluids.expansion`.
    """
    one = job.sheet.circuits[circuit]
    liquid = liquid_of(one)
    entries = tuple(_entries(job, circuit, liquid))
    moved = [entry.moved for entry in entries]
    found = balance(moved, liquid)
    pour_c = _pour_c(moved)
    gone = any(each.way is not Way.IN for each in moved)
    return Told(
        circuit=circuit,
        name=one.name,
        entries=entries,
        volumes=found.volumes,
        owed=found.owed,
        against=litre_for_litre(moved, liquid, pour_c=pour_c, vessel=_poured_from(moved)) if gone else None,
        pour_c=pour_c,
        allowed=_allowed(one),
        filled=_filled(job, circuit),
        total=total_stated(one),
        unwritten=tuple(_unwritten(job, circuit)),
    )


def _unwritten(job: Job, circuit: str) -> Iterator[Unwritten]:
    written = [event.data["step"] for event in job.state.fluids if event.data["way"] in (Way.OUT, Way.IN)]
    order = list(job.run.standing)
    for step_id in dict.fromkeys(job.run.done):
        step = job.sheet.step(step_id)
        moves = circuit in (step.drain, step.fill.circuit if step.fill else None)
        if moves and step_id not in written:
            number = order.index(step_id) + 1 if step_id in order else 0
            yield Unwritten(step_id, number, Way.IN if step.fill else Way.OUT)


def left_in(job: Job, circuit: str) -> dict[str, units.Tolerance]:
    """Parts with what stays in an old one by the sheet, where nobody wrote it down."""
    written = [data for event in job.state.fluids if (data := event.data)["way"] == Way.LEFT]
    if any(data["circuit"] == circuit and not data.get("part") for data in written):
        return {}  # what stayed was written down beside the steps, whatever it stayed in
    parts = {data.get("part") for data in written}
    stays = job.sheet.circuits[circuit].left_in.items()
    return {part: one for part, one in stays if part not in parts and not isinstance(one, AskRef) and one.value > 0.0}


def _entries(job: Job, circuit: str, liquid: Liquid) -> Iterator[Entry]:
    """What was written down, and at the step that fits a new part what stayed in the old one."""
    stayed = left_in(job, circuit)
    for event in sorted(job.state.kept("fluid_moved", "step_done"), key=lambda one: job.state.places[one.id]):
        data = event.data
        if event.kind == "fluid_moved" and data["circuit"] == circuit:
            moved = moved_of(data, liquid)
            yield Entry(moved, data["typed"], data["step"], data.get("part"), event)
        elif event.kind == "step_done":
            for part in job.sheet.step(data["step"]).fit:
                if part in stayed:
                    yield _assumed(job, part, stayed.pop(part), event)


def moved_of(data: Mapping[str, Any], liquid: Liquid) -> Moved:
    """A pouring as the engine takes it; events from before there were vessels and thermometers name none."""
    celsius = data["temperature_c"]
    known = celsius if celsius is not None and liquid.coldest_c <= celsius <= liquid.hottest_c else None
    named = {"thermometer": data["thermometer"]} if data.get("thermometer") else {}
    return Moved(Way(data["way"]), data["litre"], known, vessel_from(data.get("vessel")), **named)


def _assumed(job: Job, part: str, amount: units.Tolerance, fitted: Event) -> Entry:
    half = LEFT_OFF * amount.value if amount.half_width is None else amount.half_width
    guess = Vessel(f"what stays in the old {job.sheet.parts[part].name}", 100.0 * half / amount.value, 0.0)
    moved = Moved(Way.LEFT, amount.value, None, guess)
    return Entry(moved, amount.text, fitted.data["step"], part, fitted, assumed=True)


def _pour_c(moved: list[Moved]) -> float:
    """As warm as what went in last; else as the air of a mild day."""
    known = [one.celsius for one in moved if one.way is Way.IN and one.celsius is not None]
    return known[-1] if known else REFERENCE_C


def _poured_from(moved: list[Moved]) -> Vessel:
    """What it was last measured with."""
    return next((one.read_in for one in reversed(moved) if one.way in (Way.OUT, Way.IN)), JUG)


def _filled(job: Job, circuit: str) -> bool:
    """Has something been filled, and is nothing more sure to be?"""
    fills = [step for step in job.sheet.steps if step.fill and step.fill.circuit == circuit]
    standing = [job.run.standing[step.id] for step in fills if step.id in job.run.standing]
    sure = [step for step in sure_to_come(job) if step in fills]
    return Standing.DONE in standing and not sure


def sure_to_come(job: Job) -> list[Step]:
    """Steps that are still to be done whatever is found; one that hangs on something counts once it is next."""
    return [step for step in job.run.left if step.when is None or job.run.standing[step.id] is Standing.NOW]


def _allowed(circuit: Circuit) -> Band | None:
    off = circuit.level.tolerance if circuit.level else None
    if not isinstance(off, units.Tolerance) or off.kind is not units.Kind.VOLUME:
        return None
    return Band(-off.value, off.value, "L")
