"""Entries of what only the person knows: how often, how much, and what a part is."""

from knowngood.acts.faults.problem import problem_of
from knowngood.acts.faults.said import TEN, mark, sayable
from knowngood.acts.faults.worth_doing import FIELDS, WHOLE, comparable, scopes_of
from knowngood.acts.job.garage import Garage
from knowngood.acts.record.entries import Draft, Entry
from knowngood.engine.troubleshooting.model.safety import SafetyKind
from knowngood.gate import NONE
from knowngood.refusal import Refused
from knowngood.units import UnitsError
from knowngood.units.bare import number


def word_said(garage: Garage, entry: Entry) -> list[Draft]:
    """Of ten vehicles, in how many a test shows it or a repair mends it."""
    job, word = garage.job(entry.of), entry.needed("word", "which word it is about")
    known = {mark(one) for one in sayable(problem_of(job.sheet))} if job.sheet.suspects else set()
    if word not in known:
        raise Refused({"": "That word is not in this job's sheet any more. Reload the page."})
    typed = entry.needed("of_10", "a number from 0 to 10")
    try:
        count = number(typed, beyond=lambda value: value > TEN)
    except UnitsError:
        count = -1.0
    if not 0.0 <= count <= TEN:
        raise Refused({"of_10": f'"{typed}" is no number of 10 vehicles. Write a number from 0 to 10, such as 8.'})
    return [Draft("word_said", {"word": word, "of_10": count})]


def worth_stated(garage: Garage, entry: Entry) -> list[Draft]:
    """What was typed of one scope's prices; comparing it once shows whether it can be used."""
    job = garage.job(entry.of)
    scope, names = entry.text("scope") or WHOLE, scopes_of(job)
    if scope not in names:
        raise Refused({"scope": f'"{scope}" is not a scope here. Take {", ".join(names)}.'})
    typed = {name: words for name in FIELDS if (words := entry.text(name))}
    comparable(garage, job, scope, typed)
    return [Draft("worth_stated", {"scope": scope, "name": names[scope], "typed": typed})]


def part_is(_: Garage, entry: Entry) -> list[Draft]:
    """Which safety system a part of the sheet belongs to, or that it belongs to none; it counts everywhere after."""
    name, system = entry.needed("name", "which part"), entry.needed("system", "what it belongs to, or none")
    if system not in (*SafetyKind, NONE):
        known = ", ".join((*SafetyKind, NONE))
        raise Refused({"system": f'"{system}" is no system that safety hangs on. Take one of {known}.'})
    data = {"name": name, "system": system, "shown": entry.text("shown"), "why": entry.text("why")}
    return [Draft("part_is", data)]
