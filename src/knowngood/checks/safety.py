"""The gate over a sheet: what is handed over is a stop; what only sounds like it is asked; the rest is for home."""

from collections.abc import Iterator

from knowngood.checks.walk import Walk
from knowngood.engine.troubleshooting.model.safety import SafetyKind
from knowngood.gate import (
    CALLED,
    CAUTIONS,
    HANDED_OVER,
    NONE,
    Declared,
    Deed,
    Done,
    deeds,
    hits,
    stopped_by_name,
    stopped_by_sentence,
)
from knowngood.sheet.circuits import Fluid
from knowngood.sheet.model import Costs, Repair, Sheet, Step
from knowngood.sheet.problem import Answer, Problem, Severity
from knowngood.sheet.suspects import Named

# The event by which the person says what a part is.
PART_IS = "part_is"
# Fluids that say by themselves what a circuit belongs to.
SEALED_FLUIDS = {Fluid.REFRIGERANT: "refrigerant", Fluid.FUEL: "fuel tank"}
METERS = ("multimeter", "ohmmeter", "voltmeter", "meter,", "test lamp", "test light", "oscilloscope")
# Codes of what is handed over or must be said first.
GATE = frozenset(("handed over", "safety part undeclared"))
# What a person does to a part at home that is worth its caution.
WORK = frozenset((Deed.OPEN, Deed.FIT, Deed.MEND, Deed.BLEED, Deed.ADJUST))
DEEDS = {
    Deed.MEASURE: "measures",
    Deed.UNPLUG: "unplugs or plugs in",
    Deed.OPEN: "opens or takes off",
    Deed.FIT: "fits",
    Deed.MEND: "mends",
    Deed.HEAT: "heats",
    Deed.FEEL: "feels along",
    Deed.BLEED: "bleeds",
    Deed.SET: "sets",
    Deed.ADJUST: "sets",
}


# --- what is done, and to what ----------------------------------------------------------------------------------------


def stopped_in_step(sheet: Sheet, step: Step) -> Done | None:
    """Return what a step does that is handed over; None when all of it is for home, or is handed over already."""
    if step.licensed or step.kind == NONE:
        return None
    metered = _metered(step)
    named = [
        *((sheet.parts[one], Deed.FIT) for one in step.fit),
        *((sheet.fasteners[one], Deed.OPEN) for one in step.loosen),
        *((sheet.fasteners[one], Deed.FIT) for one in step.tighten),
    ]
    found = (stopped_by_name(one.name, deed, one.kind) for one, deed in named)
    by_name = next((one for one in found if one), None)
    return stopped_by_sentence(step.do, step.kind, metered=metered) or by_name or _drained(sheet, step)


def _metered(step: Step) -> bool:
    return bool(step.read) or any(meter in tool.name.casefold() for tool in step.tools for meter in METERS)


def _drained(sheet: Sheet, step: Step) -> Done | None:
    """A circuit that is drained says what it holds by its fluid."""
    words = SEALED_FLUIDS.get(sheet.circuits[step.drain].fluid) if step.drain else None
    return stopped_by_name(words, Deed.OPEN) if words else None


def stopped_test(sheet: Sheet, key: str) -> Done | None:
    """Return what a test does that is handed over, by its own name, its limit or its steps."""
    test = sheet.tests[key]
    if test.kind == NONE:
        return None
    limit = sheet.limits.get(test.limit or "")
    steps = [sheet.step(one) for one in test.step]
    metered = limit is not None or any(_metered(one) for one in steps)
    found = [
        stopped_by_sentence(test.name, test.kind, metered=metered),
        stopped_by_name(limit.name, Deed.MEASURE, limit.kind) if limit else None,
        *(stopped_in_step(sheet, one) for one in steps),
    ]
    return next((one for one in found if one), None)


def sealed_test(sheet: Sheet, key: str) -> str:
    """Return why nobody at home does a test, in a sentence; empty when it may be done, or is no test."""
    done = stopped_test(sheet, key) if key in sheet.tests else None
    if done is None or not done.hit.sealed:
        return ""
    kind, name = done.hit.kind, sheet.tests[key].name
    return f'the test "{name}" is for a workshop: it belongs to {CALLED[kind]}. {CAUTIONS[kind]} {HANDED_OVER[kind]}.'


def stopped_repair(sheet: Sheet, key: str) -> Done | None:
    """Return what a repair does that is handed over, by its own name, its parts or its steps."""
    repair = sheet.repairs[key]
    declared = repair_declared(sheet, repair)
    if declared == NONE:
        return None
    suspected = [sheet.suspects[one] for one in repair.fixes]
    by_suspect = (stopped_by_name(one.name, Deed.FIT, one.kind) for one in suspected if one.safety and one.kind != NONE)
    parts = (stopped_by_name(sheet.parts[one].name, Deed.FIT, sheet.parts[one].kind) for one in repair.part)
    steps = (stopped_in_step(sheet, sheet.step(one)) for one in repair.step)
    own = _own(repair, declared)
    return next((one for one in (own, *parts, *steps, *(by_suspect if not repair.step else ())) if one), None)


def _own(repair: Repair, declared: Declared | None) -> Done | None:
    """By its name: to renew, whatever verb stands there or not."""
    return stopped_by_sentence(repair.name, declared) or stopped_by_name(repair.name, Deed.FIT, declared)


def repair_declared(sheet: Sheet, repair: Repair) -> Declared | None:
    """Return what was said of a repair: its own kind, else that of its suspects when each of them was said."""
    if repair.kind is not None:
        return repair.kind
    kinds = [sheet.suspects[one].kind for one in repair.fixes]
    if not kinds or None in kinds:
        return None
    systems = [one for one in kinds if one is not None and one != NONE]
    return systems[0] if systems else "none"


def repair_safety(sheet: Sheet, key: str) -> SafetyKind | None:
    """Return the safety system that a repair works on, by what was said, by its suspects or by its name."""
    repair = sheet.repairs[key]
    declared = repair_declared(sheet, repair)
    if declared is not None:
        return None if declared == NONE else SafetyKind(declared)
    by_suspects = (sheet.suspects[one].safety for one in repair.fixes)
    return next((one for one in by_suspects if one), None) or repair.safety


# --- rules ------------------------------------------------------------------------------------------------------------


def watched(walk: Walk) -> Iterator[Problem]:
    """A repair of what safety hangs on that may wait."""
    for name, repair in walk.sheet.repairs.items():
        kind = repair_safety(walk.sheet, name)
        if repair.watch is not None and kind:
            parts = [one for one in repair.fixes if walk.sheet.suspects[one].safety]
            named = walk.sheet.suspects[parts[0]].name if parts else repair.name
            yield walk.problem(
                "safety part watched", Severity.STOP, ("repairs", name, "watch"),
                f'the repair "{repair.name}" may wait, and "{named}" belongs to {kind}. A part in '
                "doubt that safety hangs on is replaced or handed over, never driven and watched. Take watch out.",
            )  # fmt: skip


def undeclared(walk: Walk) -> Iterator[Problem]:
    """A suspect or a repair that only sounds like a part that safety hangs on."""
    for group, things in (("suspects", walk.sheet.suspects), ("repairs", walk.sheet.repairs)):
        for name, one in things.items():
            declared = repair_declared(walk.sheet, one) if isinstance(one, Repair) else one.kind
            kind = one.safety if declared is None else None
            if kind is not None:
                yield walk.problem(
                    "safety part undeclared", Severity.STOP, (group, name),
                    f'"{one.name}" sounds like {CALLED[kind]}, and nobody said so. A part that safety hangs on is '
                    f"never driven and watched. Say below what it is, or write kind: {kind} or kind: {NONE} in the "
                    "sheet.",
                    answers(one.name, kind),
                )  # fmt: skip


def answers(name: str, kind: SafetyKind) -> list[Answer]:
    """Return the two taps by which a person says what a part is."""
    shown = f'"{name}" sounds like {CALLED[kind]}'
    return [
        Answer(f"It belongs to {CALLED[kind]}", PART_IS, (("name", name), ("system", kind.value), ("shown", shown))),
        Answer(f"It does not belong to {CALLED[kind]}", PART_IS, (("name", name), ("system", NONE), ("shown", shown))),
    ]


def step_handed_over(walk: Walk) -> Iterator[Problem]:
    """A step that measures, unplugs, opens or fits what is handed over."""
    for index, step in walk.steps:
        if done := stopped_in_step(walk.sheet, step):
            yield _handed_over(walk, ("steps", index, "do"), "", done)


def reading_handed_over(walk: Walk) -> Iterator[Problem]:
    """A limit for a part that nobody measures at home."""
    for name, limit in walk.sheet.limits.items():
        if done := stopped_by_name(limit.name, Deed.MEASURE, limit.kind):
            yield _handed_over(walk, ("limits", name), f'the limit "{limit.name}" ', done)


def test_handed_over(walk: Walk) -> Iterator[Problem]:
    """A test that is no work for home; one that a step does is told at its step as well."""
    for name, test in walk.sheet.tests.items():
        if done := stopped_test(walk.sheet, name):
            yield _handed_over(walk, ("tests", name), f'the test "{test.name}" ', done)


test_handed_over.__test__ = False  # type: ignore[attr-defined]  # no test of ours, whatever its name says


def repair_handed_over(walk: Walk) -> Iterator[Problem]:
    """A repair that is no work for home; its suspect stays, to be handed over."""
    for name, repair in walk.sheet.repairs.items():
        if done := stopped_repair(walk.sheet, name):
            yield _handed_over(walk, ("repairs", name), f'the repair "{repair.name}" ', done)


def _handed_over(walk: Walk, path: tuple[str | int, ...], who: str, done: Done) -> Problem:
    kind = done.hit.kind
    does = f'{DEEDS.get(done.deed, "works on")} "{done.hit.words}", which belongs to {CALLED[kind]}'
    return walk.problem(
        "handed over", Severity.STOP, path,
        f"{who}{does}. {CAUTIONS[kind]} {HANDED_OVER[kind]}. Take it out and hand it over, or write kind: {NONE} when "
        f"it does not belong to {CALLED[kind]}.",
    )  # fmt: skip


def prices_weighed(walk: Walk) -> Iterator[Problem]:
    """A limit of what safety hangs on that two costs decide."""
    for name, limit in walk.sheet.limits.items():
        kind = limit.safety
        if kind is not None and isinstance(limit.rule, Costs):
            yield walk.problem(
                "safety limit weighed", Severity.STOP, ("limits", name, "rule"),
                f'"{limit.name}" belongs to {CALLED[kind]}, and costs are weighed against it. No price is weighed '
                "against safety. Write rule: safety.",
            )  # fmt: skip


def at_home(sheet: Sheet, step: Step) -> tuple[SafetyKind, ...]:
    """Return the systems that a step opens, fits or mends at home, each of which has its caution there."""
    if step.kind == NONE or stopped_in_step(sheet, step):
        return ()
    named: list[Named] = [
        *(sheet.parts[part] for part in step.fit),
        *(sheet.fasteners[fastener] for fastener in (*step.loosen, *step.tighten)),
    ]
    in_words = [done.hit.kind for done in deeds(step.do) if done.deed in WORK and not done.hit.weak]
    return tuple(dict.fromkeys([*in_words, *(kind for thing in named if (kind := _surely(thing)))]))


def _surely(thing: Named) -> SafetyKind | None:
    """The system of a part that is declared, or that its name says without a doubt."""
    sure = thing.kind is not None or any(not hit.weak for hit in hits(thing.name))
    return thing.safety if sure else None
