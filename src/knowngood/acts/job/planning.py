"""Before the job: the sheet read, its questions answered, an order made."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from typing import Any, TypeVar

from knowngood.acts.job.run import action, in_scope
from knowngood.checks.answers import read_answer
from knowngood.checks.questions import asked_by, helped_by
from knowngood.engine.planning.order import valid_order
from knowngood.gate import Declared
from knowngood.gate.words import said
from knowngood.refusal import Refused
from knowngood.sheet import reader
from knowngood.sheet.facts import texts
from knowngood.sheet.fields import Form
from knowngood.sheet.model import AskRef, Sheet
from knowngood.sheet.suspects import Named

T = TypeVar("T", bound=Named)


@lru_cache(maxsize=32)
def read_sheet(text: str, file: str) -> reader.Reading:
    """Read a sheet; the same text is read once."""
    return reader.read(text, file=file)


@lru_cache(maxsize=32)
def kept_sheet(text: str, file: str) -> reader.Reading:
    """Read a sheet that a job has already; the same text is read once."""
    return reader.read_kept(text, file=file)


def order(sheet: Sheet, scope: Sequence[str]) -> tuple[str, ...]:
    """Step ids of the chosen scope in an order that keeps all facts; unreachable ones last, as written."""
    chosen = [step for step in sheet.steps if in_scope(step, scope)]
    left_out = {step.id for step in sheet.steps} - {step.id for step in chosen}
    actions = [action(step) for step in chosen]
    waiting = [replace(one, after=tuple(step for step in one.after if step not in left_out)) for one in actions]
    found = valid_order(waiting, texts(sheet.start))
    return (*found.ids, *found.stuck)


def answered(sheet: Sheet, answers: Mapping[str, str | None]) -> Sheet:
    """The sheet with what the manual says in place of its questions; what it does not say stays a question."""

    def known(value: Any) -> Any:
        if isinstance(value, AskRef):
            text = answers.get(value.ask)
            read = read_answer(text, sheet.asks[value.ask].answer) if text else None
            return value if read is None else read
        if isinstance(value, Form):
            return value.model_copy(update={name: known(one) for name, one in value})
        if isinstance(value, dict):
            return {name: known(one) for name, one in value.items()}
        return tuple(known(one) for one in value) if isinstance(value, tuple) else value

    found: Sheet = known(sheet)
    return found


def declared(sheet: Sheet, parts_are: Mapping[str, Declared]) -> Sheet:
    """Return the sheet with what the person said of parts in place of what their names only sound like.

    Args:
        sheet: As read.
        parts_are: By name in the gate's form, which system it belongs to, or none.
    """

    def known(things: Mapping[str, T]) -> dict[str, T]:
        return {key: _as_said(one, parts_are) for key, one in things.items()}

    if not parts_are:
        return sheet
    groups = ("suspects", "tests", "repairs", "parts", "fasteners", "limits")
    return sheet.model_copy(update={group: known(getattr(sheet, group)) for group in groups})


def _as_said(one: T, parts_are: Mapping[str, Declared]) -> T:
    kind = parts_are.get(said(one.name)) if one.kind is None else None
    return one if kind is None else one.model_copy(update={"kind": kind})


def asks_of(sheet: Sheet, scope: Sequence[str] = ()) -> dict[str, list[str]]:
    """Each question to the manual, and the ids of the steps of the chosen scope that its answer serves."""
    found: dict[str, list[str]] = {name: [] for name in sheet.asks}
    for step in (one for one in sheet.steps if in_scope(one, scope)):
        for name in dict.fromkeys([*asked_by(sheet, step), *helped_by(sheet, step)]):
            found[name].append(step.id)
    return found


def read_file(path: Path) -> reader.Reading:
    """Read a sheet from a file, without checking it.

    Raises:
        Refused: The file cannot be read.
    """
    try:
        text = path.read_text(encoding="utf-8")
    except UnicodeDecodeError:
        raise Refused({"": f"{path}: this is not a text file. A job sheet is YAML in UTF-8."}) from None
    except OSError as trouble:
        why = (trouble.strerror or "it cannot be read").lower()
        raise Refused({"": f"{path}: {why}. Give the path of a job sheet, such as runs_hot.yaml."}) from None
    return read_sheet(text, path.name)
