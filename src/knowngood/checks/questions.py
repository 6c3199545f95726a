"""What the manual must say, and what is not ours to do."""

from collections.abc import Iterable, Iterator
from typing import Any

from knowngood.checks.answers import read_answer
from knowngood.checks.walk import Walk, of_word
from knowngood.sheet.model import AskRef, Fluid, Level, Sheet, Step
from knowngood.sheet.problem import Problem, Severity


def asked_by(sheet: Sheet, step: Step) -> list[str]:
    """Questions that a step needs answered."""
    values: list[Any] = [sheet.fasteners[name].torque for name in step.tighten]
    values += [sheet.limits[name].band for name in step.read]
    values += [step.fill.amount, sheet.circuits[step.fill.circuit].holds] if step.fill else []
    values += [sheet.circuits[step.drain].holds] if step.drain else []
    values += [step.between, *(level.window for level in _levels(sheet, step))]
    return list(dict.fromkeys([*step.ask, *_asks_in(values)]))


def helped_by(sheet: Sheet, step: Step) -> list[str]:
    """Questions whose answer makes what a step tells narrower; without one something wide is assumed."""
    moved = {step.drain, step.fill.circuit if step.fill else None, step.window, step.level} - {None}
    circuits = [circuit for name, circuit in sheet.circuits.items() if name in moved]
    values = [value for one in circuits for value in (one.density, one.freezes, *one.left_in.values())]
    for level in _levels(sheet, step):
        sides = (side for part in (level.pan, level.plug_to_middle) if part for _, side in part)
        values += [level.tolerance, *sides]
    return list(dict.fromkeys(_asks_in(values)))


def _levels(sheet: Sheet, step: Step) -> list[Level]:
    """How the circuits are read whose level a step follows or sets."""
    named = [name for name in (step.window, step.level) if name]
    return [level for name in named if (level := sheet.circuits[name].level)]


def _asks_in(values: Iterable[Any]) -> list[str]:
    return [value.ask for value in values if isinstance(value, AskRef)]


def open_asks(walk: Walk) -> Iterator[Problem]:
    """Questions still open that a step needs at or behind the first one that cannot be undone."""
    if walk.answers is None:
        return
    needed: dict[str, list[str]] = {}
    for way in walk.ways:
        order = [(one.index, one.step) for one in way.stands] + [(one, walk.sheet.steps[one]) for one in way.stuck]
        first = next((place for place, (_, step) in enumerate(order) if step.irreversible or step.drain), len(order))
        for _, step in order[first:]:
            for ask in asked_by(walk.sheet, step):
                rows = needed.setdefault(ask, [])
                rows += [] if step.id in rows else [step.id]
    for ask in walk.sheet.asks:
        if ask in needed and ask not in walk.answers:
            steps = ", ".join(f'"{one}"' for one in needed[ask])
            yield walk.problem(
                "open question", Severity.STOP, ("asks", ask),
                f'"{walk.sheet.asks[ask].question}" is open, and step {steps} needs it once there is no way back. It '
                "must be answered before the start. Look it up in the manual, or answer that yours does not say.",
            )  # fmt: skip


def unreadable_answers(walk: Walk) -> Iterator[Problem]:
    """Answers that cannot be read as what was asked for."""
    for ask, text in (walk.answers or {}).items():
        known = walk.sheet.asks.get(ask)
        if known and text and read_answer(text, known.answer) is None:
            yield walk.problem(
                "unreadable answer", Severity.STOP, ("asks", ask),
                f'"{known.question}" was answered "{text}". It takes {known.answer.value} with a unit. '
                f'Write it like "{known.like}".',
            )  # fmt: skip


def licensed_work(walk: Walk) -> Iterator[Problem]:
    """Work that takes a licence."""
    for index, step in walk.steps:
        found = step.licensed or _refrigerant(walk, index, step)
        if found:
            yield walk.problem(
                "licensed work", Severity.STOP, ("steps", index),
                f"is licensed work: {found}. It is for who holds the licence. Hand this step to the licensed trade.",
            )  # fmt: skip


def _refrigerant(walk: Walk, index: int, step: Step) -> str | None:
    cold = {name: one for name, one in walk.sheet.circuits.items() if one.fluid is Fluid.REFRIGERANT}
    makes = walk.actions[index].makes
    touched = of_word(makes, "drained") | {step.drain, step.fill.circuit if step.fill else None}
    opened = of_word(makes, "open")
    hit = [one.name for name, one in cold.items() if name in touched or one.refill in opened]
    return f'"{hit[0]}" holds refrigerant' if hit else None
