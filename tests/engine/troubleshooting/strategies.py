"""Small problems for Hypothesis: round numbers, everything that a problem can have, few enough orders to try all."""

from hypothesis import strategies as st

from knowngood.engine.troubleshooting.model.amounts import Chance, Price
from knowngood.engine.troubleshooting.model.parts import OTHER, Cause, Cover, Quote, Repair, Test
from knowngood.engine.troubleshooting.model.problem import Problem, suspects

PRICES = st.builds(Price, st.integers(0, 40).map(float), st.integers(0, 30).map(float))


def rows(outcomes):
    """Chances of so many outcomes, never quite 0 or 1."""
    return st.lists(st.integers(1, 20), min_size=outcomes, max_size=outcomes).map(
        lambda shares: tuple(Chance(share / sum(shares)) for share in shares)
    )


@st.composite
def tests(draw, key, causes, places):
    outcomes = draw(st.integers(2, 3))
    named = {cause: draw(rows(outcomes)) for cause in causes if draw(st.booleans())}
    words = tuple(f"shows {place}" for place in range(outcomes))
    return Test(key, key, words, named, draw(rows(outcomes)), draw(PRICES), draw(places))


@st.composite
def repairs(draw, key, causes, places):
    hit = draw(st.lists(st.sampled_from(causes), min_size=1, max_size=2, unique=True))
    fixes = {cause: Chance(draw(st.sampled_from([0.5, 0.8, 0.95, 1.0]))) for cause in hit}
    return Repair(key, key, fixes, draw(PRICES), draw(places), needs_closed_check=draw(st.booleans()))


@st.composite
def covers(draw, count):
    made = []
    for place in range(count):
        inside = draw(st.sampled_from([None, *(one.key for one in made)]))
        made.append(Cover(f"cover {place}", f"cover {place}", draw(PRICES), draw(PRICES), inside))
    return tuple(made)


@st.composite
def quotes(draw, causes):
    price = Price(float(draw(st.integers(20, 300))), float(draw(st.integers(0, 60))))
    if draw(st.booleans()):
        return Quote(price)
    return Quote(price, frozenset(draw(st.sets(st.sampled_from([*causes, OTHER])))), draw(PRICES))


@st.composite
def problems(draw, *, most_tests=2, most_repairs=3, quoted=True):
    weights = draw(st.lists(st.integers(1, 9), min_size=1, max_size=4))
    causes = [f"cause {place}" for place in range(len(weights))]
    lids = draw(covers(draw(st.integers(0, 2))))
    places = st.sampled_from([None, *(lid.key for lid in lids)])
    looked = [draw(tests(f"test {place}", causes, places)) for place in range(draw(st.integers(0, most_tests)))]
    mended = [draw(repairs(f"repair {place}", causes, places)) for place in range(draw(st.integers(0, most_repairs)))]
    keys = [one.key for one in (*looked, *mended, *lids)]
    return Problem(
        suspects(dict(zip(causes, weights, strict=True)), other=draw(st.sampled_from([0.05, 0.1, 0.3]))),
        tuple(looked),
        tuple(mended),
        lids,
        draw(quotes(causes)) if quoted else None,
        rate_per_hour=draw(st.sampled_from([0.0, 12.0])),
        check=draw(st.sampled_from([Price(), Price(3.0, 15.0)])),
        open_already=frozenset(draw(st.sets(st.sampled_from([lid.key for lid in lids])))) if lids else frozenset(),
        free=frozenset(draw(st.sets(st.sampled_from(keys), max_size=1))) if keys else frozenset(),
    )


def certain(chances):
    """Causes with just these chances and nothing else possible, as published exercises have it."""
    return (*(Cause(key, key, Chance(chance)) for key, chance in chances.items()), Cause(OTHER, "none", Chance(0.0)))
