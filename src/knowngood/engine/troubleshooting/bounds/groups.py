"""From below: what no policy can cost less than, with the suspects parted into groups that are solved exactly.

The least cost W of a problem, chances not divided by their sum, is concave and grows in step with them, so
W(one + other) >= W(one) + W(other). Each group takes its share of "none of these", as though someone told for nothing
which group it is. Joining groups raises the bound; the whole as one group would be the best cost itself.
"""

from collections.abc import Iterator, Mapping
from collections.abc import Set as AbstractSet
from dataclasses import replace
from itertools import combinations

from knowngood.engine.troubleshooting.model.amounts import Chance
from knowngood.engine.troubleshooting.model.parts import OTHER
from knowngood.engine.troubleshooting.model.problem import Problem
from knowngood.engine.troubleshooting.policy.lattice import Lattice
from knowngood.engine.troubleshooting.policy.moves import start
from knowngood.engine.troubleshooting.policy.work import only, small

# Ours: a bound must rise by more than the last digits of a sum to count as higher.
RISES = 1.0 + 1e-12


class _Groups:
    """Suspects in groups, and W of each."""

    def __init__(self, problem: Problem, most_work: int) -> None:
        self._problem, self._most_work = problem, most_work
        self._chance = {cause.key: cause.chance.value for cause in problem.causes}
        self._known: dict[frozenset[str], float] = {}
        self.parts = [frozenset({key}) for key, chance in self._chance.items() if key != OTHER and chance > 0.0]

    def fits(self, group: frozenset[str]) -> bool:
        return small(self._part(group)[1], self._most_work)

    def least(self, group: frozenset[str]) -> float:
        """Return W of a group with its share of "none of these", told apart where a suspect alone is too large."""
        if group not in self._known:
            parts = [self._part(group)] if self.fits(group) else [self._part(group, other=False), self._other(group)]
            solvable = [(weight, part) for weight, part in parts if small(part, self._most_work)]
            self._known[group] = sum(weight * Lattice(part).at(start(part)) for weight, part in solvable)
        return self._known[group]

    def total(self) -> float:
        return sum(self.least(group) for group in self.parts)

    def gain(self, one: frozenset[str], other: frozenset[str]) -> float:
        return self.least(one | other) - self.least(one) - self.least(other)

    def _part(self, group: frozenset[str], *, other: bool = True) -> tuple[float, Problem]:
        mass = {key: self._chance[key] for key in group} | ({OTHER: self._share(group)} if other else {})
        useful = {one.key for one in self._problem.repairs
                  if any(one.fixes[key].value > 0.0 for key in one.fixes.keys() & group)}  # fmt: skip
        return self._with(mass, self._problem.test_of.keys() | useful)

    def _other(self, group: frozenset[str]) -> tuple[float, Problem]:
        return self._with({OTHER: self._share(group)}, frozenset())

    def _share(self, group: frozenset[str]) -> float:
        """Chance of "none of these" that goes with a group."""
        named = sum(chance for key, chance in self._chance.items() if key != OTHER)
        return self._chance[OTHER] * sum(self._chance[key] for key in group) / named

    def _with(self, mass: Mapping[str, float], options: AbstractSet[str]) -> tuple[float, Problem]:
        weight = sum(mass.values())
        chances = {key: chance / weight if weight > 0.0 else float(key == OTHER) for key, chance in mass.items()}
        causes = tuple(replace(one, chance=Chance(chances.get(one.key, 0.0))) for one in self._problem.causes)
        return weight, replace(only(self._problem, options), causes=causes, begun=True)


def below(problem: Problem, most_work: int) -> Iterator[float]:
    """Yield lower bounds: each suspect alone, then groups joined where it tells most, then single ones moved over."""
    groups = _Groups(problem, most_work)
    yield groups.total()
    pairs = {one | other: groups.gain(one, other) for one, other in combinations(groups.parts, 2)
             if groups.fits(one | other)}  # fmt: skip
    yield groups.total()
    while True:
        joined = _joined(groups, pairs)
        if joined is None:
            break
        groups.parts = joined
        yield groups.total()
    yield from _moved(groups)


def _joined(groups: _Groups, pairs: dict[frozenset[str], float]) -> list[frozenset[str]] | None:
    """Join the two groups whose suspects tell most in pairs, of those that are not too large together."""

    def promise(pair: tuple[frozenset[str], frozenset[str]]) -> float:
        return sum(pairs.get(frozenset({one, other}), 0.0) for one in pair[0] for other in pair[1])

    for one, other in sorted(combinations(groups.parts, 2), key=promise, reverse=True):
        if groups.fits(one | other):
            return [*(group for group in groups.parts if group not in (one, other)), one | other]
    return None


def _moved(groups: _Groups) -> Iterator[float]:
    """Move a suspect to another group, or exchange two, as long as that raises the bound."""
    improved = True
    while improved:
        improved = False
        for parts in _neighbours(groups.parts):
            changed = [group for group in parts if group not in groups.parts]
            if not all(groups.fits(group) for group in changed):
                continue
            before = groups.total()
            kept, groups.parts = groups.parts, parts
            if groups.total() > before * RISES:
                improved = True
                yield groups.total()
                break
            groups.parts = kept
            yield before


def _neighbours(parts: list[frozenset[str]]) -> Iterator[list[frozenset[str]]]:
    """Yield the groupings with one suspect in another group, or two exchanged."""
    for one, other in combinations(parts, 2):
        rest = [group for group in parts if group not in (one, other)]
        moves = [(frozenset({key}), frozenset[str]()) for key in sorted(one)]
        moves += [(frozenset[str](), frozenset({key})) for key in sorted(other)]
        moves += [(frozenset({key}), frozenset({back})) for key in sorted(one) for back in sorted(other)]
        for goes, comes in moves:
            yield [*rest, *(group for group in (one - goes | comes, other - comes | goes) if group)]
