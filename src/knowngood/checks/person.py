"""Where the person is while the vehicle is up or the engine runs."""

from collections.abc import Collection, Iterator

from knowngood.checks.walk import Stand, Walk, of_word
from knowngood.sheet.model import Zone
from knowngood.sheet.problem import Problem, Severity

ENDS = frozenset(("front", "rear"))


def axles(named: Collection[str]) -> set[str]:
    """Axles, front or rear, that have a wheel among what is named: a side has one of each.

    Example:
        >>> sorted(axles(["left"])), sorted(axles(["front"]))
        (['front', 'rear'], ['front'])
    """
    return {end for one in named for end in ({one} & ENDS or ENDS)}


def _unsupported(facts: Collection[str]) -> list[str]:
    """What is raised and stands on neither stands nor ramps."""
    held = of_word(facts, "on_stands") | of_word(facts, "on_ramps")
    if "all" in held or held >= ENDS:
        return []
    up = of_word(facts, "raised")
    ends = set().union(*({one} if one in ("front", "rear", "left", "right") else ENDS for one in up)) if up else set()
    return sorted(ends - held)


def under_without_stands(walk: Walk) -> Iterator[Problem]:
    """A person under the vehicle, or at its wheel, while an end is held by a jack alone."""
    told: set[int] = set()
    for _, stand in walk.stands():
        loose = _unsupported(stand.before if stand.step.zone is Zone.WHEEL else stand.during)
        loose = [end for end in loose if not _being_changed(walk, stand, end)]
        if loose and stand.index not in told and stand.step.zone in (Zone.UNDER, Zone.WHEEL):
            told.add(stand.index)
            where = "under the vehicle" if stand.step.zone is Zone.UNDER else "at a wheel"
            yield walk.problem(
                "under a jack", Severity.STOP, ("steps", stand.index),
                f"somebody is {where} while the {' and the '.join(loose)} is raised and not on stands. A jack alone "
                f'holds nobody\'s life. Need "on_stands({loose[0]})" here, and make it in a step before.',
            )  # fmt: skip


def _being_changed(walk: Walk, stand: Stand, end: str) -> bool:
    """Setting the stands, or lowering: done from beside, reaching in at the wheel, never from underneath."""
    action = walk.actions[stand.index]
    sets = {f"on_stands({end})", "on_stands(all)", f"on_ramps({end})"} & set(action.makes)
    lowers = {f"raised({end})", "raised(all)"} & set(action.ends)
    return stand.step.zone is Zone.WHEEL and bool(sets or lowers)


def restraint(walk: Walk) -> Iterator[Problem]:
    """An end raised, or worked under, with no chocks on the wheels that stay down."""
    for way in walk.ways:
        for stand in way.stands:
            up = axles(of_word(stand.after if _raises(stand) else stand.during, "raised"))
            down = ENDS - up
            if not up or not down or not (_raises(stand) or _near(stand)) or _held(stand.before, down):
                continue
            yield walk.problem(
                "restraint", Severity.STOP, ("steps", stand.index), _unheld(walk, stand, *sorted(up), *sorted(down))
            )
            return


def _raises(stand: Stand) -> bool:
    """Lifts an end by a jack; a vehicle driven onto ramps is chocked afterwards, before anyone is near."""
    lifted = of_word(stand.after, "raised") - of_word(stand.before, "raised")
    return bool(lifted - of_word(stand.after, "on_ramps"))


def _near(stand: Stand) -> bool:
    return stand.step.zone in (Zone.UNDER, Zone.WHEEL)


def _held(facts: Collection[str], down: Collection[str]) -> bool:
    """Are the wheels of an end that stays down chocked? Chocks on one side hold a wheel of both ends."""
    return bool(axles(of_word(facts, "chocked")) & set(down))


def _unheld(walk: Walk, stand: Stand, up: str, down: str) -> str:
    chocked = sorted(axles(of_word(stand.before, "chocked")))
    found = f"the chocks are at the {chocked[0]} wheels, which are lifted" if chocked else "no wheel is chocked"
    weak = []
    if "brake_set" in stand.before:
        weak.append("the parking brake acts on one end only")
    if "in_park_or_neutral" in stand.before or "in_gear" in stand.before:
        driven = {"front": "the front wheels", "rear": "the rear wheels"}.get(walk.driven or "", "the driven wheels")
        weak.append(f"P or a gear holds {driven} only")
    also = f" ({'; '.join(weak)})" if weak else ""
    return (
        f"the {up} is raised and {found}{also}. The wheels that stay down are chocked before lifting. "
        f'Need "chocked({down})" here, and make it in a step before.'
    )


def gear_selected(walk: Walk) -> Iterator[Problem]:
    """A gear selected with driven wheels up and nobody on the brake; without the engine a caution."""
    told: set[int] = set()
    for _, stand in walk.stands():
        facts = next((one for one in _nobody_braking(walk, stand) if driven_up(walk, one)), None)
        if facts is None or stand.index in told:
            continue
        told.add(stand.index)
        runs = "running(engine)" in facts
        yield walk.problem(
            "gear with wheels up", Severity.STOP if runs else Severity.CAUTION, ("steps", stand.index),
            "a gear is selected with driven wheels up and nobody on the brake. Wheels that begin to turn can throw "
            'the vehicle off its stands. Need "brake_held" here, with somebody in the seat.',
        )  # fmt: skip


def _nobody_braking(walk: Walk, stand: Stand) -> Iterator[Collection[str]]:
    """What holds at the moments of a step at which a gear is selected and nobody is on the brake."""
    yield from (one for one in (stand.during, stand.after) if "in_gear" in one and "brake_held" not in one)
    if "gears_selected" in walk.actions[stand.index].makes and "brake_held" not in stand.during:
        yield stand.during


def foot_elsewhere(walk: Walk) -> Iterator[Problem]:
    """A foot on the brake while the step is done outside: it takes a second person."""
    for index, stand in {stand.index: stand for _, stand in walk.stands()}.items():
        if stand.step.zone is not Zone.INSIDE and "brake_held" in stand.before & stand.after:
            where = "under the vehicle" if stand.step.zone is Zone.UNDER else "outside it"
            yield walk.problem(
                "two places at once", Severity.CAUTION, ("steps", index),
                f"is done {where} while somebody's foot is on the brake. One person cannot be in both places. "
                'Have a second person in the seat, or write "ends: [brake_held]" in a step before.',
            )  # fmt: skip


def driven_up(walk: Walk, facts: Collection[str]) -> bool:
    """Is a driven wheel off the ground? Ramps carry the wheels; an unknown driven axle may be any."""
    up = axles(of_word(facts, "raised") - of_word(facts, "on_ramps"))
    return bool(up & axles([walk.driven or "all"]))


def under_running_engine(walk: Walk) -> Iterator[Problem]:
    """A person under a running engine without all that keeps it safe."""
    told: set[int] = set()
    for _, stand in walk.stands():
        if stand.step.zone is not Zone.UNDER or "running(engine)" not in stand.during or stand.index in told:
            continue
        wanted = ["in_park_or_neutral", "brake_set", "outdoors"]
        wanted += [f"on_stands({end})" for end in _unsupported(stand.before)]
        lacking = [one for one in wanted if one not in stand.before]
        lacking += ["not in_gear"] if "in_gear" in stand.during else []
        if lacking:
            told.add(stand.index)
            yield walk.problem(
                "under a running engine", Severity.STOP, ("steps", stand.index),
                f"somebody is under the running engine without {', '.join(lacking)}. It takes P or N, the parking "
                "brake, stands and open air. Need these here, or have the engine off.",
            )  # fmt: skip


def engine_indoors(walk: Walk) -> Iterator[Problem]:
    """The engine started where its exhaust stays."""
    for _, stand in walk.stands():
        if "running(engine)" in stand.during and "outdoors" not in stand.during:
            yield walk.problem(
                "engine indoors", Severity.STOP, ("steps", stand.index),
                'the engine runs where "outdoors" does not hold. Exhaust gas in a closed place kills without a smell. '
                'Add "outdoors" to start or make it in a step before, and need it here.',
            )  # fmt: skip
            return
