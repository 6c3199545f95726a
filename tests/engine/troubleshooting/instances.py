"""Random problems of the size that a kitchen table can hold."""

from dataclasses import replace

import numpy as np

from knowngood.engine.troubleshooting.model.amounts import FREE, Chance, Price
from knowngood.engine.troubleshooting.model.parts import Cover, Quote, Repair, Test
from knowngood.engine.troubleshooting.model.problem import Problem, suspects


def drawn(seed, *, causes=5, tests=4, repairs=5, covers=2, closing=False, check=False):
    """A problem with doubtful tests, repairs that overlap now and then, and covers, some inside others.

    Args:
        closing: Some checks need every cover closed.
        check: The check after repairs costs something.
    """
    generator = np.random.default_rng(seed)
    keys = [f"cause{at}" for at in range(causes)]
    weights = generator.dirichlet(np.ones(causes)) + 0.01
    return Problem(
        suspects(dict(zip(keys, weights.tolist(), strict=True)), other=generator.uniform(0.05, 0.2)),
        tuple(_test(generator, f"test{at}", keys, covers) for at in range(tests)),
        tuple(_repair(generator, at, keys, covers, closing) for at in range(repairs)),
        tuple(_cover(generator, at) for at in range(covers)),
        Quote(Price(generator.uniform(250.0, 600.0), 60.0)),
        rate_per_hour=15.0,
        check=Price(0.0, generator.uniform(5.0, 20.0)) if check else FREE,
    )


def repairs_alone(problem):
    """The same without tests, and each repair fixes one cause, another for each."""
    keys = [cause.key for cause in problem.causes]
    repairs = tuple(replace(one, fixes={key: Chance(1.0)}) for key, one in zip(keys, problem.repairs, strict=False))
    return replace(problem, tests=(), repairs=repairs)


def _place(generator, covers):
    at = int(generator.integers(0, covers + 1))
    return None if at == covers else f"cover{at}"


def _cover(generator, at):
    inside = f"cover{at - 1}" if at and generator.random() < 0.5 else None
    opening = Price(generator.uniform(0.0, 30.0), generator.uniform(0.0, 60.0))
    return Cover(f"cover{at}", f"cover {at}", opening, Price(0.0, generator.uniform(0.0, 20.0)), inside)


def _test(generator, key, keys, covers):
    hit = generator.choice(keys, size=int(generator.integers(1, min(3, len(keys)) + 1)), replace=False)
    shown = {str(cause): Chance(generator.uniform(0.6, 0.97)) for cause in hit}
    cost = Price(0.0, generator.uniform(3.0, 40.0))
    return Test.shows(
        key, key, shown, Chance(generator.uniform(0.02, 0.3)), price=cost, cover=_place(generator, covers)
    )


def _repair(generator, at, keys, covers, closing):
    fixes = {keys[at % len(keys)]: Chance(generator.uniform(0.85, 1.0))}
    if generator.random() < 0.25:
        fixes[str(generator.choice(keys))] = Chance(generator.uniform(0.5, 1.0))
    cost = Price(generator.uniform(5.0, 150.0), generator.uniform(10.0, 120.0))
    closes = bool(closing and generator.random() < 0.4)
    return Repair(f"repair{at}", f"repair {at}", fixes, cost, _place(generator, covers), needs_closed_check=closes)
