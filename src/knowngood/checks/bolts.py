"""What is loosened, tightened and replaced."""

from collections.abc import Iterator

from knowngood.checks.walk import Walk
from knowngood.engine.fasteners.wrenches import Wrench, best
from knowngood.sheet.model import AskFor
from knowngood.sheet.problem import Problem, Severity


def never_tightened(walk: Walk) -> Iterator[Problem]:
    """Bolts that are loosened, and on some way are not tightened afterwards."""
    told: set[str] = set()
    for way in walk.ways:
        for place, stand in enumerate(way.stands):
            later = {name for one in way.stands[place:] for name in one.step.tighten}
            for row, name in enumerate(stand.step.loosen):
                if name in later or name in told:
                    continue
                told.add(name)
                where = f" when {way.says}" if way.says else ""
                yield walk.problem(
                    "never tightened", Severity.STOP, ("steps", stand.index, "loosen", row),
                    f'loosens "{walk.sheet.fasteners[name].name}", which no later step tightens{where}. '
                    f'What is loosened is tightened before the end. Add "tighten: [{name}]" to the step that does it.',
                )  # fmt: skip


def no_torque(walk: Walk) -> Iterator[Problem]:
    """Bolts tightened with no torque, no question to the manual, and not by hand."""
    for index, step in walk.steps:
        for row, name in enumerate(step.tighten):
            fastener = walk.sheet.fasteners[name]
            if fastener.torque is None and not fastener.hand_tight:
                yield walk.problem(
                    "no torque", Severity.STOP, ("steps", index, "tighten", row),
                    f'tightens "{fastener.name}" with no torque. A bolt has a torque, a question to the manual, or '
                    f'hand_tight. Add "torque: {{ask: …}}" to the fastener "{name}", or hand_tight: true.',
                )  # fmt: skip


def torque_and_by_hand(walk: Walk) -> Iterator[Problem]:
    """Bolts that the sheet tightens to a torque and by hand."""
    for name, fastener in walk.sheet.fasteners.items():
        if fastener.torque is not None and fastener.hand_tight:
            yield walk.problem(
                "torque and by hand", Severity.STOP, ("fasteners", name, "hand_tight"),
                f'"{fastener.name}" has a torque and hand_tight: true. A bolt is tightened one way. Keep the torque, '
                "or keep hand_tight for what only fingers tighten.",
            )  # fmt: skip


def no_wrench(walk: Walk) -> Iterator[Problem]:
    """Torques that no wrench of the toolbox can be set to."""
    if walk.toolbox is None:
        return
    wrenches, told = walk.toolbox.wrenches, set[str]()
    for index, step in walk.steps:
        for row, name in enumerate(step.tighten):
            torque = walk.value(walk.sheet.fasteners[name].torque, AskFor.TORQUE)
            if torque is None or name in told or torque.value <= 0.0 or best(wrenches, torque.value):
                continue
            told.add(name)
            yield walk.problem(
                "no wrench", Severity.CAUTION, ("steps", index, "tighten", row),
                f'"{walk.sheet.fasteners[name].name}" takes {torque.text}; {_reach(wrenches)}. A torque must lie '
                "between a wrench's lowest and highest mark. Borrow one that reaches it, or add yours to the toolbox.",
            )  # fmt: skip


def _reach(wrenches: tuple[Wrench, ...]) -> str:
    if not wrenches:
        return "the toolbox has no torque wrench"
    spans = (f"{one.name} from {one.lowest_nm:g} to {one.upper_nm:g} N·m" for one in wrenches)
    return "the toolbox has " + ", ".join(spans)


def part_not_there(walk: Walk) -> Iterator[Problem]:
    """Single-use parts that are fitted, or belong to what is loosened, and are not in the kit."""
    if walk.kit is None:
        return
    told: set[str] = set(walk.kit)
    for index, step in walk.steps:
        rows = [(("steps", index, "fit", row), name) for row, name in enumerate(step.fit)]
        rows += [
            (("steps", index, "loosen", row), part)
            for row, name in enumerate(step.loosen)
            if (part := walk.sheet.fasteners[name].single_use)
        ]
        for path, part in rows:
            if part in told or not (walk.sheet.parts[part].single_use or path[2] == "loosen"):
                continue
            told.add(part)
            yield walk.problem(
                "part not in the kit", Severity.CAUTION, path,
                f'needs a new "{walk.sheet.parts[part].name}", which is not in the kit. A part for single use is not '
                "fitted again. Get it before you begin and tick it on the page Kit.",
            )  # fmt: skip
