"""The engine runs: what holds the vehicle, and what its wheels do."""

import re
from collections.abc import Iterator

from knowngood.checks.doings import clauses, says, sentences, since, steps_that
from knowngood.checks.person import driven_up
from knowngood.checks.walk import Stand, Walk, Way
from knowngood.sheet.model import Zone
from knowngood.sheet.problem import Problem, Severity

# A crank, of wipers or of the engine, is no cranking; nor is what a spanner turns.
CRANKS = re.compile(
    r"(?<!the )(?<!a )(?<!its )(?<!wiper )(?<!bell )(?<!motor )"
    r"\bcrank(s|ed|ing)?\b(?! (shaft|case|pulley|sensor|bolt|nut|seal|arm|pin|handle|angle|position))"
    r"|\bturn\w* (it|the engine|her) over\b(?!.*\b(hand|spanner|wrench|ratchet|socket|bar)\b)"
)
# Words by which a sentence starts the engine or works at it while it runs.
RUNS = re.compile(
    r"^(?:now )?(?:start|fire|run) (?:up )?(?:the |your )?(?:engine|car)\b|^(?:now )?(?:start|fire) (?:it|her)(?: up)?$"
    r"|^let (?:it|her|the engine) idle\b|^let the engine run\b|^(?:with )?(?:the )?engine (?:running|idling)\b"
)
BRAKE_ON = re.compile(
    r"\b(parking|hand|park) ?brake\b.*\b(on|set|pulled|applied|up|hard)\b|\b(set|apply|pull)\b.*\b(parking"
    r"|hand) ?brake\b"
)
# P and N are no words of a sentence by themselves: what is before them says that they are meant.
NO_GEAR = re.compile(r"\b(in|to|into|at) (p|n|park|neutral)\b|\bout of gear\b|\bselector .*\b(p|n)\b|\bneutral\b")
IN_GEAR = re.compile(
    r"\b(in|into|engage|select|put in|shift to|shift into) (a |the )?((first|second|third|top|1st|2nd|low) gear"
    r"|first|gear|drive|d|reverse|r)\b"
    r"|\bgear (engaged|selected|in)\b"
    r"|\b(in|into) (second|third|2nd|3rd)\b(?! (place|row|step|hole|position|line|time|try))"
)
FOOT_ON = re.compile(
    r"\b(foot|feet)\b.*\bbrake\b|\b(hold|holds|holding|press|presses)\b.*\b(foot ?brake|brake pedal)\b"
)


def unheld(walk: Walk) -> Iterator[Problem]:
    """Somebody works at the vehicle while its engine turns, and neither its brake nor P or N holds it."""
    brake, idle = steps_that(walk, says(BRAKE_ON)), steps_that(walk, says(NO_GEAR))
    for way in walk.ways:
        for place, stand in enumerate(way.stands):
            if stand.step.zone is Zone.INSIDE or not _turns(stand) or "brake_held" in stand.during:
                continue
            holds = "brake_set" in stand.during or since(way, place, brake)
            out_of_gear = "in_park_or_neutral" in stand.during or since(way, place, idle)
            if holds or (out_of_gear and "in_gear" not in stand.during):
                continue
            yield walk.problem(
                "engine on, nothing holds it", Severity.STOP, ("steps", stand.index),
                "somebody is outside while the engine turns, and neither the parking brake nor P or N holds the "
                'vehicle. It can drive over whoever stands there. Need "brake_set" and "in_park_or_neutral" here, and '
                "make them in a step before.",
            )  # fmt: skip
            return


def _turns(stand: Stand) -> bool:
    """Does the engine run or is it cranked, by the facts or by the sentence?"""
    if "running(engine)" in stand.during or any(CRANKS.search(row) for row in sentences(stand.step.do)):
        return True
    return any(RUNS.search(row) for row in clauses(stand.step.do))


def wheels_may_turn(walk: Walk) -> Iterator[Problem]:
    """The engine runs with driven wheels up, out of P and N as far as anybody said, and nobody is on the brake."""
    idle, gear = steps_that(walk, says(NO_GEAR)), steps_that(walk, says(IN_GEAR))
    braking = steps_that(walk, says(FOOT_ON))
    for way in walk.ways:
        for place, stand in enumerate(way.stands):
            if "running(engine)" not in stand.during or not driven_up(walk, stand.before & stand.after):
                continue
            if "in_gear" in stand.during or "brake_held" in stand.during or stand.index in braking:
                continue  # with the fact, the rule on a gear selected speaks
            if stand.index not in gear and _out_of_gear(way, place, stand, idle):
                continue
            yield walk.problem(
                "wheels may turn", Severity.STOP, ("steps", stand.index),
                "the engine runs with driven wheels up, nobody is on the brake, and "
                f"{'a gear is selected' if stand.index in gear else 'neither P nor N is selected'}. Wheels that begin "
                'to turn can throw the vehicle off its stands. Need "in_park_or_neutral" or "brake_held" here.',
            )  # fmt: skip
            return


def _out_of_gear(way: Way, place: int, stand: Stand, idle: frozenset[int]) -> bool:
    return "in_park_or_neutral" in stand.during or since(way, place, idle)
