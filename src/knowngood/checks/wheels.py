"""Wheel bolts are torqued with the wheel on the ground, and stands are shaken before anybody trusts them."""

import re
from collections.abc import Iterator

from knowngood.checks.doings import plain, says, steps_that, thing
from knowngood.checks.person import ENDS, axles
from knowngood.checks.walk import Stand, Walk, of_word
from knowngood.sheet.model import Zone
from knowngood.sheet.problem import Problem, Severity

WHEEL_BOLTS = thing(
    r"(?:road )?wheels? (?:\w+ )?(?:bolts?|nuts?|studs?)|lug (?:nuts?|bolts?)|(?:front |rear |wheel )?lugs"
    r"|(?:bolts?|nuts?) of (?:the )?(?:\w+ )?wheels?",
    r"(?:steering )wheel \w+|wheel (?:arch|bearing|house|housing|hub|speed|cylinder|liner|carrier|knuckle"
    r"|sensor)s? \w+|fly ?wheel \w+|(?:battery|cable|earth|ground|terminal) lugs",
)
SHAKES = re.compile(
    r"\b(shake|shakes|shaken|rock|rocks|rocked|wobble|wobbles|jiggle|jiggles)\b"
    r"(?! (out|off|up|the (bottle|can|tin|spray)))"
    r"|\b(push|pull|lean|shove|press)\w*\b.*\b(hard|side|sideways"
    r"|bumper|vehicle|car|firmly)\b"
    r"|\b(test|try|tried|prove|proven|check)\w*\b.*\bstands?\b.*\b(firm\w*|steady|safe|solid\w*|sit\w*|seat\w*"
    r"|move\w*)\b"
    r"|\b(lean|shove|heave|sway)\w*\b.*\b(weight|boot|wing|bonnet|hood|trunk|sill|body|fender|roof|it)\b"
    r"|\bgive\b.*\b(shove|push|shake|nudge|tug|heave)\b"
    r"|\bnothing (may |must )?(move|moves|rocks)\b"
)


def torqued_in_the_air(walk: Walk) -> Iterator[Problem]:
    """Wheel bolts whose last tightening comes while their wheel hangs."""
    told: set[str] = set()
    for way in walk.ways:
        last = {name: stand for stand in way.stands for name in stand.step.tighten}
        for name, stand in last.items():
            fastener = walk.sheet.fasteners[name]
            named = plain(f"{fastener.name} {name}")
            if name in told or fastener.hand_tight or not WHEEL_BOLTS.among([named]) or not _hangs(stand, named):
                continue
            told.add(name)
            yield walk.problem(
                "torqued in the air", Severity.CAUTION, ("steps", stand.index, "tighten"),
                f'tightens "{fastener.name}" while the wheel hangs. A hanging wheel turns and sits crooked, so the '
                f'torque is not what holds it. Put them on by hand here, lower it, then "tighten: [{name}]" in a step '
                "after that.",
            )  # fmt: skip


def _hangs(stand: Stand, named: str) -> bool:
    """Is the wheel that the bolts name, or any, off the ground throughout the step?"""
    up = axles(of_word(stand.before & stand.after, "raised") - of_word(stand.before, "on_ramps"))
    return bool(up & ({end for end in ENDS if end in named.split()} or ENDS))


def stands_not_shaken(walk: Walk) -> Iterator[Problem]:
    """Stands that a step sets, and somebody under the vehicle or at its wheel before they were tried."""
    shakes = steps_that(walk, says(SHAKES))
    for way in walk.ways:
        untried = False
        for stand in way.stands:
            untried = (untried or _sets(stand)) and stand.index not in shakes and _stands(stand)
            if untried and not _sets(stand) and stand.step.zone in (Zone.UNDER, Zone.WHEEL):
                yield walk.problem(
                    "stands not shaken", Severity.CAUTION, ("steps", stand.index),
                    "somebody relies on stands that nobody has tried. A stand that is not home slips when the vehicle "
                    'is pulled at. Add a step before: push hard from the side, with "makes: [shaken(stands)]".',
                )  # fmt: skip
                return


def _sets(stand: Stand) -> bool:
    return bool(of_word(stand.after, "on_stands") - of_word(stand.before, "on_stands"))


def _stands(stand: Stand) -> bool:
    return bool(of_word(stand.after, "on_stands"))
