"""Which step can be next: facts replayed over steps, and an order that keeps all of them."""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Action:
    """A step as the planner sees it.

    Args:
        needs: Facts that must hold before; "not x" must not hold.
        makes: Facts that hold after it.
        ends: Facts that no longer hold after it.
        after: Ids of steps that come first.
    """

    id: str
    needs: tuple[str, ...] = ()
    makes: tuple[str, ...] = ()
    ends: tuple[str, ...] = ()
    after: tuple[str, ...] = ()


@dataclass(frozen=True)
class Order:
    """A full order of step ids, and those that no order reached."""

    ids: tuple[str, ...]
    stuck: tuple[str, ...]


def replay(facts: Iterable[str], actions: Iterable[Action]) -> frozenset[str]:
    """Return what holds after the actions were done in this order.

    Example:
        >>> sorted(replay(["parked"], [Action("lift", makes=("raised(front)",), ends=("parked",))]))
        ['raised(front)']
    """
    holding = set(facts)
    for action in actions:
        holding -= set(action.ends)
        holding |= set(action.makes)
    return frozenset(holding)


def missing(action: Action, facts: Collection[str], done: Collection[str] = ()) -> tuple[str, ...]:
    """Return what keeps this action from being next: needs that do not hold, steps that come first.

    Example:
        >>> missing(Action("drain", needs=("proven(fill)", "not hot(coolant)")), {"hot(coolant)"})
        ('proven(fill)', 'not hot(coolant)')
    """
    unmet = [need for need in action.needs if need.startswith("not ") is (need.removeprefix("not ") in facts)]
    return (*unmet, *(f"step {step}" for step in action.after if step not in done))


def valid_order(actions: Sequence[Action], start: Iterable[str]) -> Order:
    """Return an order in which every step's needs hold, staying as near the written order as can be.

    Each time, the first step in written order whose needs hold comes next. Since the written order
    is kept wherever it works, a sheet that was written well is returned unchanged.

    Args:
        actions: Steps in written order.
        start: Facts that hold before the first.

    Returns:
        The order, and the steps that could never be reached.

    Example:
        >>> steps = [Action("drain", needs=("proven(fill)",)), Action("prove", makes=("proven(fill)",))]
        >>> valid_order(steps, []).ids
        ('prove', 'drain')
    """
    facts, done, left = frozenset(start), list[str](), list(actions)
    while left:
        ready = next((one for one in left if not missing(one, facts, done)), None)
        if ready is None:
            break
        left.remove(ready)
        done.append(ready.id)
        facts = replay(facts, [ready])
    return Order(tuple(done), tuple(one.id for one in left))
