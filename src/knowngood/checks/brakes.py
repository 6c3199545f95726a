"""Brakes that were apart: the pedal is pumped, and what was opened is bled, before the vehicle moves."""

import re
from collections.abc import Iterator

from knowngood.checks.doings import (
    clauses,
    fact_words,
    on_ways,
    plain,
    put_together,
    sentences,
    steps_that,
    taken_apart,
    thing,
)
from knowngood.checks.walk import Walk, Way
from knowngood.sheet.model import Fluid, Sheet, Step, Zone
from knowngood.sheet.problem import Problem, Severity

CALIPER = thing(
    r"calipers?|callipers?",
    r"(?:vernier|digital|dial|measuring|sliding) call?ipers?|call?iper (?:gauge|reading)"
    r"|call?iper (?:brackets?|carriers?) (?:bolts?|screws?)",
)
# What sits against a piston of the brake: with new ones, or the old ones back, the pedal falls through at first.
LININGS = thing(
    r"(?:brake|front|rear|new|old|outer|inner) (?:pads?|shoes?|linings?)|pads|(?:brake )?wheel cylinders?",
    r"(?:jack|jacking|lifting|lift|rubber|felt|foam|pedal|clutch|scouring|cleaning|knee|wear) pads?"
    r"|clutch linings?",
)
PISTON = re.compile(
    r"\b(push|press|wind|turn|squeeze|retract|force|lever|screw|reset|ease)\w*\b.*\bpistons?\b"
    r"|\bpistons?\b.*\b(back|retracted)\b"
)
# New linings are bedded in by driving: nothing is put in its place.
BEDS_IN = re.compile(r"\b(bed|beds|bedded|bedding|break|run)\b.*\bin\b")
# Elsewhere too, but what is meant once pads, shoes or pistons stand beside it.
OF_BRAKES = re.compile(
    r"\b(brakes?|call?ipers?|rotors|drums?|dis[ck]s|dis[ck] pads?|wheel cylinders?|pump\w* the pedal)\b"
)
PUMPS = re.compile(
    r"\bpump\w*\b.*\b(brakes?|pedal)\b|\bpedal\b.*\b(pump\w*|firm|hard|solid|bites?)\b"
    r"|\b(firm|hard|solid|proven|tested) (brake )?pedal\b"
    r"|\b(press|push|tread|work|depress|step|apply)\w*\b.*\b(pedal|foot ?brake|brakes?)\b"
    r".*\b(until|till|times|again|slowly|repeatedly|firm|hard|bites?)\b"
    r"|\b(several|few|many) times\b.*\bbrake pedal\b|\bpedal\b.*\b(times|repeatedly)\b"
    r"|\bpressure\b.*\bpedal\b|\bpedal\b.*\bpressure\b"
)
OTHER_PEDAL = re.compile(r"\b(clutch|accelerator|throttle|gas) pedal\b|\b(parking|hand|park) ?brakes?\b")
UNPROVEN = re.compile(r"\b(unproven|soft|unpumped|untested)\b.*\bpedal\b")
DRIVES = re.compile(r"\b(drive|driven|road test|test drive|reverse (?:out|back|off))\b")
NO_DRIVE = re.compile(
    r"\bdrive (belt|shaft|plate|end|flange)\b|\b(belt|chain|wheel) drive\b|\bdriven (axle|wheels?|end)\b"
)
HYDRAULICS = thing(
    r"brake (?:hoses?|lines?|pipes?|tubes?|unions?|banjo|circuit|hydraulics)|flexible brake hoses?"
    r"|(?:front|rear|left|right) flexis?(?: hoses?)?"
    r"|(?:brake |rear |front )?wheel cylinders?|(?:brake )?master cylinders?",
    r"clutch (?:master|slave) cylinders?|(?:hose|line|pipe)s? (?:clips?|brackets?|clamps?|holders?)"
    r"|brake line spanners?|brake cleaner|reservoir (?:caps?|lids?)",
)
# Elsewhere too.
HOSES = re.compile(r"\b(flexible hoses?|flexis?|flexi hoses?|banjo)\b")
OTHER_FLUIDS = re.compile(
    r"\b(fuel|petrol|diesel|injection|injector|oil|turbo\w*|coolant|steering|clutch|air con\w*)\b"
)
LET_OUT = re.compile(r"\b(drain|empty|empties|run|runs|let|drip|drips)\b.*\b(brake fluid|nipples?)\b")
ALL_OF_IT = frozenset(("brake", "brakes", "brake circuit", "brake system", "brake fluid"))
BLEEDS = re.compile(
    r"\b(bleed|bleeds|bleeding|bled)\b(?! (nipple|screw|valve|port|hose|cap)s?\b)|\b(no|free of"
    r"|without) (more )?(air )?bubbles\b"
)


def pedal_never_pumped(walk: Walk) -> Iterator[Problem]:
    """Pads, shoes or a caliper back, and the vehicle moves before the pedal was pumped."""
    back = steps_that(walk, lambda step: piston_moved(walk.sheet, step))
    pumped, driven = steps_that(walk, pumps), steps_that(walk, _drives)

    def unpumped(way: Way) -> Iterator[int]:
        last = _last_before(way, back, driven)
        if last is not None and not pumped & set(way.stuck) and not _comes(way, last, pumped, driven):
            yield way.stands[last].index

    for index, where in on_ways(walk, unpumped):
        yield walk.problem(
            "pedal not pumped", Severity.STOP, ("steps", index),
            f"the brake is together again, and nobody pumps its pedal before the vehicle moves{where}. The first press "
            "meets no resistance: the vehicle does not brake. Add a step after it: pump the brake pedal until it is "
            'firm; make "unproven(brake_pedal)" here and end it there.',
        )  # fmt: skip


def _last_before(way: Way, steps: frozenset[int], driven: frozenset[int]) -> int | None:
    """The last of some steps on a way that comes before a drive, or at all."""
    places = [place for place, stand in enumerate(way.stands) if stand.index in steps]
    drives = [place for place, stand in enumerate(way.stands) if stand.index in driven]
    first_drive = next((place for place in drives if places and place > places[0]), len(way.stands))
    return max((place for place in places if place < first_drive), default=None)


def _comes(way: Way, place: int, cures: frozenset[int], driven: frozenset[int]) -> bool:
    """Does one of the cures come at this place of the way or later, before the vehicle is driven?"""
    for stand in way.stands[place:]:
        if stand.index in cures:
            return True
        if stand.index in driven:
            return False
    return False


def piston_moved(sheet: Sheet, step: Step) -> bool:
    """Does the step put a caliper, pads or shoes in their place, or push a piston back?"""
    together = [row for row in put_together(sheet, step) if not BEDS_IN.search(row)]
    if CALIPER.among(together) or (LININGS.among(together) and speaks_of_brakes(sheet)):
        return True
    pushed = any(PISTON.search(row) for row in sentences(step.do))
    return pushed and speaks_of_brakes(sheet)


def speaks_of_brakes(sheet: Sheet) -> bool:
    """Does the sheet speak of brakes at all? Pads and pistons are elsewhere too."""
    rows = [sheet.title, sheet.about, *(step.do for step in sheet.steps), *(part.name for part in sheet.parts.values())]
    rows += [fact.of or "" for step in sheet.steps for fact in (*step.makes, *step.ends)]
    return any(OF_BRAKES.search(plain(row)) for row in rows)


def pumps(step: Step) -> bool:
    """Does the step make the pedal firm, by its sentence or by its facts?"""
    if any(UNPROVEN.search(fact_words(fact)) for fact in step.ends):
        return True
    rows = (*sentences(step.do), *map(fact_words, step.makes))
    return any(PUMPS.search(OTHER_PEDAL.sub(" ", row)) for row in rows)


def _drives(step: Step) -> bool:
    if step.zone is not Zone.INSIDE or pumps(step):
        return False
    return any(DRIVES.search(NO_DRIVE.sub(" ", row)) for row in sentences(step.do))


def never_bled(walk: Walk) -> Iterator[Problem]:
    """A brake circuit that was opened or drained, and that no later step bleeds."""
    opened = {index: what for index, step in walk.steps if (what := opened_hydraulics(walk.sheet, step))}
    bled = steps_that(walk, bleeds)

    def unbled(way: Way) -> Iterator[int]:
        last = max((place for place, stand in enumerate(way.stands) if stand.index in opened), default=None)
        if last is not None and not way.later(last) & bled:
            yield way.stands[last].index

    for index, where in on_ways(walk, unbled):
        yield walk.problem(
            "brakes never bled", Severity.STOP, ("steps", index),
            f'opens the brake circuit ("{opened[index]}"), and no later step bleeds it{where}. Air in it takes the '
            "pressure off the brakes. Add a step that bleeds it until no bubbles come and the pedal is firm.",
        )  # fmt: skip


def opened_hydraulics(sheet: Sheet, step: Step) -> str | None:
    """What of the brake's hydraulics a step opens or drains; None when nothing."""
    circuits = {name: one for name, one in sheet.circuits.items() if one.fluid is Fluid.BRAKE_FLUID}
    if step.drain in circuits:
        return circuits[step.drain].name
    for fact in step.makes:
        named = fact.of or ""
        circuit = circuits.get(named.split(".")[0])
        if fact.word in ("open", "drained") and plain(named) in ALL_OF_IT:
            return "the brakes"
        if circuit and fact.word in ("open", "drained") and named != circuit.refill and "nipple" not in named:
            return circuit.name
    apart = list(taken_apart(sheet, step))
    hose = HYDRAULICS.among(apart) or next((one for one in apart if _brake_hose(sheet, one)), None)
    return hose or next((one for one in clauses(step.do) if LET_OUT.search(one) and _of_brakes(sheet, one)), None)


def _of_brakes(sheet: Sheet, phrase: str) -> bool:
    """Of the brakes, where the phrase says so, or the sheet speaks of brakes and the phrase of nothing else."""
    return bool(OF_BRAKES.search(phrase) or speaks_of_brakes(sheet)) and not OTHER_FLUIDS.search(phrase)


def _brake_hose(sheet: Sheet, phrase: str) -> bool:
    return bool(HOSES.search(phrase)) and _of_brakes(sheet, phrase)


def bleeds(step: Step) -> bool:
    """Does the step bleed, by its sentence or by its facts?"""
    if any(fact.word == "unbled" for fact in step.ends):
        return True
    return any(BLEEDS.search(row) for row in (*sentences(step.do), *map(fact_words, step.makes)))
