"""Fuel: nothing of it is opened under pressure or indoors."""

import re
from collections.abc import Iterator

from knowngood.checks.doings import fact_words, plain, sentences, since, steps_that, taken_apart, thing
from knowngood.checks.walk import Stand, Walk
from knowngood.sheet.model import Fluid, Sheet, Step
from knowngood.sheet.problem import Problem, Severity

LOOK_ALIKES = (
    r"(?:fuel|petrol|gas) (?:gauge|cap|flap|fuse|relay|lid|lamp|light|door|switch|trim|additive|level)(?: \w+)?"
    r"|fuel pump (?:relay|fuse|cover|plug|connector|wiring|driver)|(?:fuel |petrol )?(?:filler|tank) (?:cap"
    r"|flap|neck trim)"
    r"|(?:engine|trim|rail) covers?|injectors? (?:plug|connector|wire|wiring|harness|loom)s?"
    r"|(?:line|hose|pipe) (?:clip|bracket|holder)s?|injection (?:relay|fuse)"
)
OPENED = thing(
    r"(?:fuel|petrol|gasoline|diesel|injection)(?: \w+)? (?:lines?|pipes?|hoses?|rail|filters?|unions?"
    r"|fittings?|couplings?|"
    r"connectors?|banjo|pumps?|tanks?|senders?|return|feed|drain)|fuel(?:ling)? (?:lines?|pipes?|hoses?|rail"
    r"|filters?|pumps?|tanks?)"
    r"|(?<!exhaust )gas (?:lines?|pipes?|tanks?)"
    r"|injectors?|carburett?ors?|carburet(?:ter|or)s?|(?:hose|line|pipe|union|coupling)s? of the fuel(?: \w+)?",
    LOOK_ALIKES,
)
ALL_OF_IT = frozenset(("fuel", "petrol", "gasoline", "diesel", "tank", "fuel system"))
DIESEL_FILTER = re.compile(r"\bdiesel\b.*\bfilter\b")
RELIEVED = re.compile(
    r"\b(reliev\w*|releas\w*|vent\w*|let|lets|bleed|take|drop|get|reduce)\b.*\bpressure\b"
    r"|\bpressure\b.*\b(off|out|gone|zero|let|released|relieved)\b|\bdepressuri[sz]\w*|\b(stalls|dies"
    r"|stops by itself)\b"
)
RELIEVED_FACT = re.compile(
    r"^(relieved|depressuri[sz]ed|unpressuri[sz]ed|pressureless|released|vented|no pressure)\b"
    r"|\bpressure (off|out|gone|released|relieved)\b"
)
OUTDOORS = re.compile(r"\b(outdoors|outside|out of doors|open air|in the open)\b")


def opened_fuel(walk: Walk) -> Iterator[Problem]:
    """Something of the fuel opened under pressure, or where its vapour stays."""
    opened = {index: what for index, step in walk.steps if (what := fuel_opened(walk.sheet, step))}
    relieved, outdoors = steps_that(walk, relieves), steps_that(walk, _says_outdoors)
    told: set[int] = set()
    for way in walk.ways:
        for place, stand in enumerate(way.stands):
            if stand.index in told or stand.index not in opened:
                continue
            low = (
                since(way, place, relieved)
                or _stands_relieved(stand)
                or bool(DIESEL_FILTER.search(opened[stand.index]))
            )
            outside = "outdoors" in stand.during or since(way, place, outdoors)
            if low and outside:
                continue
            told.add(stand.index)
            yield walk.problem(
                "fuel opened", Severity.STOP, ("steps", stand.index), _words(opened[stand.index], low, outside)
            )


def _words(what: str, low: bool, outside: bool) -> str:
    lacks = [*([] if low else ["its pressure was not let off"]), *([] if outside else ["it is not outdoors"])]
    needs = [*([] if low else ['"relieved(fuel)"']), *([] if outside else ['"outdoors"'])]
    return (
        f'opens "{what}", and {" and ".join(lacks)}. Petrol sprays, its vapour creeps along the floor and catches fire '
        f"far away. Need {' and '.join(needs)} here, and make it in a step before."
    )


def fuel_opened(sheet: Sheet, step: Step) -> str | None:
    """What of the fuel a step opens; None when nothing. The filler cap is no opening."""
    circuits = {name: one for name, one in sheet.circuits.items() if one.fluid is Fluid.FUEL}
    if step.drain in circuits:
        return circuits[step.drain].name
    for fact in step.makes:
        whose, named = (fact.of or "").split(".")[0], plain(fact.of or "")
        if fact.word not in ("open", "drained") or (whose not in circuits and named not in ALL_OF_IT):
            continue
        if whose not in circuits or fact.of != circuits[whose].refill:
            return circuits[whose].name if whose in circuits else named
    return OPENED.among(taken_apart(sheet, step))


def relieves(step: Step) -> bool:
    """Does the step let the pressure off, by its sentence or by a fact that it makes?"""
    by_fact = any(RELIEVED_FACT.search(fact_words(fact)) for fact in step.makes)
    return by_fact or any(RELIEVED.search(row) for row in sentences(step.do))


def _stands_relieved(stand: Stand) -> bool:
    return any(RELIEVED_FACT.search(plain(text)) for text in stand.before)


def _says_outdoors(step: Step) -> bool:
    return any(OUTDOORS.search(row) for row in sentences(step.do))
