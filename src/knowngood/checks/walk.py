"""The job walked before it is done: every way it can branch, and what holds before and after each step.

A step with `when` runs or does not, depending on what is found; so the walk goes every way: each outcome that a step
waits for, and one for all others. A rule must hold on each of them. A fact that two complementary steps make is
therefore surely made, and one that a single conditional step makes is not.

Steps outside the chosen scope are left out first. A step waits (`after`) only for steps that are on its way: one that
is left out, by scope or by `when`, holds nobody up.
"""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property, lru_cache
from itertools import product
from typing import Any, cast

from knowngood.checks.answers import read_answer
from knowngood.checks.toolbox import Toolbox
from knowngood.engine.planning.order import Action, Order, replay, valid_order
from knowngood.sheet.facts import Fact, texts
from knowngood.sheet.model import AskFor, AskRef, Outcome, Sheet, Step, WhenDecided, WhenLimit
from knowngood.sheet.problem import Answer, Problem, Severity
from knowngood.sheet.reader import Places

# Ours: beyond it each finding is varied alone, beside the first outcome of the others.
MOST_WAYS = 256
Choice = tuple[str, str]


@dataclass(frozen=True)
class Stand:
    """A step on its way: its place in the written sheet, and what holds before and after."""

    index: int
    step: Step
    before: frozenset[str]
    after: frozenset[str]

    @property
    def during(self) -> frozenset[str]:
        """What holds at some moment of the step: all from before, and all that it makes."""
        return self.before | self.after


@dataclass(frozen=True)
class Way:
    """One way through the job.

    Args:
        says: Which findings lead this way, for the mechanic; empty when there is only one way.
        stands: Its steps in the order they come.
        stuck: Indices of the steps that never can come.
        end: What holds at the end, steps that are stuck taken as done after all others.
        reached: What holds after the last step that can come.
    """

    says: str
    stands: tuple[Stand, ...]
    stuck: tuple[int, ...]
    end: frozenset[str]
    reached: frozenset[str]

    def later(self, place: int) -> frozenset[int]:
        """Steps from this place on, and those that are stuck: a rule tells of what is missing, not of what waits."""
        return frozenset((*(stand.index for stand in self.stands[place:]), *self.stuck))


@dataclass(frozen=True)
class Walk:
    """Everything a rule may ask.

    Args:
        file: Name of the sheet, for messages.
        sheet: The sheet as read.
        places: Where its parts stand.
        toolbox: None when it is not known.
        answers: What the manual says; None when no vehicle is known.
        kit: Ids of the parts that are there; None when that is not known.
        scope: Chosen sizes of the job; empty for all of it.
        driven: Driven axle: front, rear or all; None when it is not known.
        quoted: Does the job have a quote? None when no job is known.
    """

    file: str
    sheet: Sheet
    places: Places
    toolbox: Toolbox | None = None
    answers: Mapping[str, str | None] | None = None
    kit: Collection[str] | None = None
    scope: Collection[str] = field(default=())
    driven: str | None = None
    quoted: bool | None = None

    def problem(
        self, code: str, severity: Severity, path: Sequence[str | int], words: str, answers: Sequence[Answer] = ()
    ) -> Problem:
        """A problem at a path of the sheet; a step is named before the words."""
        line, column = self.places.at(path)
        index = path[1] if path[0] == "steps" and len(path) > 1 else None
        step = self.sheet.steps[index].id if isinstance(index, int) else None
        named = f'step "{step}": ' if step else ""
        message = f"{self.file}:{line}: {named}{words}"
        return Problem(code, severity, self.file, line, column, step, message, self._place(path), tuple(answers))

    def _place(self, path: Sequence[str | int]) -> str:
        """The path by names that stay when rows move: a step's id, a fact as written, what stands in a list."""
        names, value = list[str](), cast(Any, self.sheet)
        for part in path:
            inside = isinstance(value, tuple | Mapping)
            value = value[part] if inside else getattr(value, str(part), None)
            names.append(_name_of(value) if isinstance(part, int) else part)
        return "/".join(names)

    @cached_property
    def steps(self) -> tuple[tuple[int, Step], ...]:
        """Steps of the chosen scope with their places in the written sheet."""
        return tuple(
            (index, step)
            for index, step in enumerate(self.sheet.steps)
            if not step.scope or not self.scope or set(step.scope) & set(self.scope)
        )

    @cached_property
    def actions(self) -> Mapping[int, Action]:
        """Steps as the planner sees them, implied facts written out."""
        return {index: _action(step) for index, step in self.steps}

    @cached_property
    def planned(self) -> Order:
        """The order of all steps, as a plan has it before anything is found."""
        return valid_order(_waiting(self.actions.values()), texts(self.sheet.start))

    @cached_property
    def ways(self) -> tuple[Way, ...]:
        """Every way the job can branch."""
        found: dict[tuple[tuple[int, ...], tuple[int, ...]], Way] = {}
        for choices in self._choices:
            way = self._way(choices)
            found.setdefault((tuple(one.index for one in way.stands), way.stuck), way)
        ways = tuple(found.values())
        return ways if len(ways) > 1 else tuple(replace(way, says="") for way in ways)

    @property
    def all_ways_walked(self) -> bool:
        """Every combination of findings was followed."""
        count = 1
        for values in self._outcomes.values():
            count *= len(values)
        return count <= MOST_WAYS

    @cached_property
    def _outcomes(self) -> Mapping[str, Sequence[str]]:
        """What each finding can turn out as: those that a step waits for, and one for all others."""
        found: dict[str, list[str]] = {}
        for _, step in self.steps:
            if step.when:
                key, value = _finding(step.when)
                values = found.setdefault(key, [])
                values += [] if value in values else [value]
        for key, values in found.items():
            other = next((one for one in self._possible(key) if one not in values), None)
            values.extend([other] if other else [])
        return found

    def _possible(self, key: str) -> Iterable[str]:
        kind, _, name = key.partition(" ")
        if kind == "limit":
            return [one.value for one in Outcome]
        return [
            one for step in self.sheet.steps if step.decide and step.decide.id == name for one in step.decide.choices
        ]

    @cached_property
    def _choices(self) -> list[dict[str, str]]:
        keys, values = list(self._outcomes), list(self._outcomes.values())
        if self.all_ways_walked:
            return [dict(zip(keys, row, strict=True)) for row in product(*values)]
        first = {key: one[0] for key, one in self._outcomes.items()}
        return [first, *({**first, key: value} for key in keys for value in self._outcomes[key][1:])]

    def _way(self, choices: Mapping[str, str]) -> Way:
        present, known = self._present(choices)
        plan = [self._index[step] for step in (*self.planned.ids, *self.planned.stuck)]
        actions = _waiting([self._informed(index, present) for index in plan if index in present])
        order = valid_order(actions, texts(self.sheet.start))
        facts, stands = frozenset(texts(self.sheet.start)), list[Stand]()
        for step_id in order.ids:
            index = self._index[step_id]
            after = replay(facts, [self.actions[index]])
            stands.append(Stand(index, self.sheet.steps[index], facts, after))
            facts = after
        stuck = tuple(sorted(self._index[step] for step in order.stuck))
        end = replay(facts, (self.actions[index] for index in stuck))
        says = ", ".join(f'"{key.partition(" ")[2]}" is {_words(value)}' for key, value in known.items())
        return Way(says, tuple(stands), stuck, end, facts)

    @cached_property
    def _index(self) -> Mapping[str, int]:
        return {step.id: index for index, step in self.steps}

    def _present(self, choices: Mapping[str, str]) -> tuple[set[int], dict[str, str]]:
        """Steps that run on this way, and the findings that are made on it."""
        present = {index for index, step in self.steps if step.when is None}
        while True:
            known = {key for index in present for key in _finds(self.sheet.steps[index])}
            more = {
                index
                for index, step in self.steps
                if step.when and (key := _finding(step.when)[0]) in known and choices[key] == _finding(step.when)[1]
            }
            if more <= present:
                return present, {key: value for key, value in choices.items() if key in known}
            present |= more

    def _informed(self, index: int, present: Collection[int]) -> Action:
        """A conditional step comes after the first step that finds what it waits for."""
        when = self.sheet.steps[index].when
        if when is None:
            return self.actions[index]
        finder = next(one for one in sorted(present) if _finding(when)[0] in _finds(self.sheet.steps[one]))
        action = self.actions[index]
        return replace(action, after=(*action.after, self.sheet.steps[finder].id))

    def stands(self) -> Iterator[tuple[Way, Stand]]:
        """Every step of every way."""
        return ((way, stand) for way in self.ways for stand in way.stands)

    def never_runs(self) -> list[int]:
        """Steps that wait for a finding which nothing in the chosen scope makes."""
        seen = {index for way in self.ways for index in (*(one.index for one in way.stands), *way.stuck)}
        return [index for index, _ in self.steps if index not in seen] if self.all_ways_walked else []

    def value(self, stated: Any, expected: AskFor) -> Any:
        """What a sheet or the manual states, as units read it; None when neither does, or it cannot be read."""
        if not isinstance(stated, AskRef):
            return stated
        text = (self.answers or {}).get(stated.ask)
        return read_answer(text, expected) if text else None


def _name_of(row: Any) -> str:
    """What a row of a list is called."""
    return row.id if isinstance(row, Step) else row.text if isinstance(row, Fact) else str(row)


def _action(step: Step) -> Action:
    needs, ends = (tuple(fact.text for fact in facts) for facts in (step.needs, step.ends))
    return Action(step.id, needs, texts(step.makes), ends, step.after)


def _waiting(actions: Iterable[Action]) -> list[Action]:
    """Actions that wait only for those among them."""
    rows = list(actions)
    there = {one.id for one in rows}
    return [replace(one, after=tuple(step for step in one.after if step in there)) for one in rows]


def _finding(when: WhenLimit | WhenDecided) -> Choice:
    if isinstance(when, WhenLimit):
        return f"limit {when.limit}", when.is_.value
    return f"decision {when.decided}", when.is_


def _words(value: str) -> str:
    return "can't tell" if value == Outcome.CANT_TELL else value.replace("_", " ")


def _finds(step: Step) -> list[str]:
    return [f"limit {name}" for name in step.read] + ([f"decision {step.decide.id}"] if step.decide else [])


@lru_cache(maxsize=2048)
def fact_of(text: str) -> Fact:
    """A fact of the walk, read once: the same few stand before and after every step of every way."""
    return Fact.read(text)


def of_word(facts: Iterable[str], word: str) -> set[str]:
    """Objects of which a word holds.

    Example:
        >>> sorted(of_word(["raised(front)", "parked", "raised(rear)"], "raised"))
        ['front', 'rear']
    """
    return {fact.of for fact in map(fact_of, facts) if fact.word == word and fact.of}


def spelled(facts: Iterable[str]) -> str:
    """Facts in the mechanic's words, quoted, in a row."""
    return ", ".join(f'"{Fact.read(one).says}"' for one in facts)
