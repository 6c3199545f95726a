"""The cautions of each step of a plan: the sheet's own, and those that follow from what the step does.

A caution is said where its fact begins or is worked on, and not again while it holds. What hangs on the vehicle is
said where the vehicle has it, or where nobody knows. One answer for every face: pages, phone, paper, terminal.
"""

from collections.abc import Iterator, Mapping, Sequence

from knowngood.acts.cautions.equipment import NO, UNKNOWN, YES
from knowngood.acts.cautions.table import JOB, ROWS, Row
from knowngood.acts.cautions.triggers import Moment
from knowngood.acts.job.run import action
from knowngood.checks.safety import at_home
from knowngood.engine.planning.order import replay
from knowngood.engine.troubleshooting.model.safety import SafetyKind
from knowngood.gate import CAUTIONS
from knowngood.sheet.facts import texts
from knowngood.sheet.model import Sheet, Step


def cautions_of(sheet: Sheet, order: Sequence[str], has: Mapping[str, str]) -> dict[str, tuple[str, ...]]:
    """Return the cautions of each step, the sheet's own first.

    Args:
        sheet: The job.
        order: Step ids as the plan has them.
        has: What is known of the vehicle, by the names in EQUIPMENT; what is missing is not known.
    """
    moments = list(_moments(sheet, order))
    found = {at.step.id: list(at.step.cautions) for at in moments}
    for row in ROWS:
        sentence = _sentence(row, has)
        for step in _said_at(row, moments) if sentence else ():
            found[step.id].append(sentence)
    for kind, step in _not_spoken_of(sheet, moments):
        found[step.id].append(CAUTIONS[kind])
    return {name: tuple(rows) for name, rows in found.items()}


def _moments(sheet: Sheet, order: Sequence[str]) -> Iterator[Moment]:
    """Each step in the plan's order with what holds around it, all of them done."""
    facts = frozenset(texts(sheet.start))
    for name in order:
        step = sheet.step(name)
        after = replay(facts, [action(step)])
        yield Moment(sheet, step, facts, after)
        facts = after


def _sentence(row: Row, has: Mapping[str, str]) -> str:
    """What is said on this vehicle; empty when it does not apply."""
    if not row.hangs_on:
        return row.sentence
    known = [has.get(name, UNKNOWN) for name in row.hangs_on]
    if YES in known:
        return row.sentence
    return row.if_unknown if any(one != NO for one in known) else ""


def _said_at(row: Row, moments: Sequence[Moment]) -> Iterator[Step]:
    """Steps at which a caution is said anew: those that call for it, but where it is said already."""
    if row.anywhere and any(row.says(text) for at in moments for text in (at.step.do, *at.step.cautions)):
        return
    covered = list[Step]()
    for at in moments:
        if row.once and row.once != JOB and row.once not in at.before:
            covered.clear()
        if not row.at(at):
            continue
        if any(row.says(text) for text in (at.step.do, *at.step.cautions)):
            covered.append(at.step)
        elif not row.once or not any(_comes_along(one, at.step) for one in covered):
            covered.append(at.step)
            yield at.step


def _not_spoken_of(sheet: Sheet, moments: Sequence[Moment]) -> Iterator[tuple[SafetyKind, Step]]:
    """Systems that safety hangs on and of which no caution speaks, with the first step that works on each."""
    texts = [text for at in moments for text in (at.step.do, *at.step.cautions)]
    spoken = {row.of for row in ROWS if any(row.at(at) for at in moments) or any(row.says(text) for text in texts)}
    for at in moments:
        for kind in at_home(sheet, at.step):
            if kind not in spoken:
                spoken.add(kind)
                yield kind, at.step


def _comes_along(said: Step, step: Step) -> bool:
    """Is a step that said it done whenever this one is?"""
    return said.when is None or said.when == step.when
