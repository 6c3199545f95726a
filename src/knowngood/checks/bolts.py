"""What is loosened, tightened and replaced."""

from collections.abc import Collection, Iterator

from knowngood.checks.doings import on_ways, plain, taken_apart
from knowngood.checks.walk import Walk, Way
from knowngood.engine.fasteners.wrenches import Wrench, best
from knowngood.sheet.model import AskFor
from knowngood.sheet.problem import Problem, Severity

# Words that say what a part is, not where it belongs.
ANY_PART = frozenset(
    plain(
        "new old the a an of for each and or one two set off out in on with seal seals gasket gaskets washer washers "
        "ring rings bolt bolts nut nuts screw screws clip clips crush sealing copper rubber o"
    ).split()
)


def never_tightened(walk: Walk) -> Iterator[Problem]:
    """Bolts that are loosened, and on some way are not tightened afterwards."""
    told: set[str] = set()
    for way in walk.ways:
        for place, stand in enumerate(way.stands):
            later = {name for index in way.later(place) for name in walk.sheet.steps[index].tighten}
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


def old_part_again(walk: Walk) -> Iterator[Problem]:
    """A part for single use that is not renewed where its bolts go back, or anywhere in the job."""
    told: set[str] = set()
    for (index, row, part), where in on_ways(walk, lambda way: _old_parts(walk, way)):
        if part not in told:
            told.add(part)
            path = ("steps", index, "tighten", row)
            yield walk.problem("old part again", Severity.CAUTION, path, _not_renewed(walk, part, where))
    yield from _never_fitted(walk, told)


def _old_parts(walk: Walk, way: Way) -> Iterator[tuple[int, int, str]]:
    """Where bolts go back on a way whose part for single use was not renewed: the step, the row, the part."""
    fitted = {part for index in way.stuck for part in walk.sheet.steps[index].fit}
    loose = set[str]()
    for stand in way.stands:
        fitted |= set(stand.step.fit)
        loose |= set(stand.step.loosen)
        for row, name in enumerate(stand.step.tighten):
            part = walk.sheet.fasteners[name].single_use
            if part and name in loose and part not in fitted:
                yield stand.index, row, part


def _never_fitted(walk: Walk, told: Collection[str]) -> Iterator[Problem]:
    """Parts for single use that no step fits, though what they belong to, by its name, comes apart."""
    fits = {part for _, step in walk.steps for part in step.fit}
    apart = {word for _, step in walk.steps for row in taken_apart(walk.sheet, step) for word in row.split()} - ANY_PART
    for part, one in walk.sheet.parts.items():
        in_size = not one.scope or not walk.scope or set(one.scope) & set(walk.scope)
        if one.single_use and in_size and part not in fits | set(told) and apart & set(plain(one.name).split()):
            yield walk.problem("old part again", Severity.CAUTION, ("parts", part), _not_renewed(walk, part, ""))


def _not_renewed(walk: Walk, part: str, where: str) -> str:
    return (
        f'no step fits a new "{walk.sheet.parts[part].name}"{where}, which is for single use. Fitted again it leaks or '
        f'comes loose. Add "fit: [{part}]" to the step that puts it in.'
    )


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
