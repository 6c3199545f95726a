"""Checks: rules that walk a sheet before the job does. Each is a function from sheet and toolbox to problems."""

from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import replace

from knowngood.checks import (
    bolts,
    brakes,
    circuits,
    decides,
    engine_on,
    fuel,
    given,
    levels,
    limits,
    live,
    person,
    questions,
    reach,
    safety,
    sizes,
    suspects,
    wheels,
)
from knowngood.checks.toolbox import Toolbox, ToolMeter
from knowngood.checks.walk import Walk
from knowngood.sheet.problem import Problem, Severity
from knowngood.sheet.reader import Reading

__all__ = ["RULES", "Problem", "Severity", "ToolMeter", "Toolbox", "Walk", "check"]

RULES: tuple[Callable[[Walk], Iterable[Problem]], ...] = (
    reach.need_nothing_makes,
    reach.unreachable,
    reach.left_standing,
    reach.not_all_walked,
    bolts.never_tightened,
    bolts.old_part_again,
    bolts.no_torque,
    bolts.torque_and_by_hand,
    bolts.no_wrench,
    bolts.part_not_there,
    circuits.drained_unproven,
    circuits.run_empty,
    circuits.burns,
    levels.level_depends,
    levels.level_unknown,
    levels.level_never_set,
    levels.scalded,
    person.under_without_stands,
    person.restraint,
    person.gear_selected,
    person.foot_elsewhere,
    person.under_running_engine,
    person.engine_indoors,
    engine_on.unheld,
    engine_on.wheels_may_turn,
    brakes.pedal_never_pumped,
    brakes.never_bled,
    live.plus_live,
    fuel.opened_fuel,
    wheels.torqued_in_the_air,
    wheels.stands_not_shaken,
    given.unfit_quantities,
    limits.undecidable,
    decides.no_act_named,
    questions.open_asks,
    questions.unreadable_answers,
    questions.licensed_work,
    suspects.chances_add_up,
    suspects.outcomes_add_up,
    suspects.repair_fixes_nothing,
    suspects.cover_in_itself,
    suspects.cover_never_off,
    safety.watched,
    safety.undeclared,
    safety.step_handed_over,
    safety.reading_handed_over,
    safety.test_handed_over,
    safety.repair_handed_over,
    safety.prices_weighed,
    suspects.suspect_named_twice,
    suspects.suspect_untouched,
    suspects.test_tells_nothing,
    suspects.takes_no_time,
    suspects.no_quote,
)


def check(
    reading: Reading,
    *,
    toolbox: Toolbox | None = None,
    answers: Mapping[str, str | None] | None = None,
    kit: Collection[str] | None = None,
    scope: Collection[str] | None = None,
    driven: str | None = None,
    quoted: bool | None = None,
) -> list[Problem]:
    """Return every problem of a sheet, in the order of its lines.

    Args:
        reading: The sheet as read; one with mistakes of form has only those.
        toolbox: Wrenches and meters; None when not known, and their rules say nothing.
        answers: What the manual says, by question; None in it is "my manual does not say". None alone: no vehicle is
            known, and open questions are not told.
        kit: Ids of the parts that are there; None when not known.
        scope: Chosen sizes of the job; empty for all of it, None for every size that can be chosen.
        driven: Driven axle of the vehicle; None takes the sheet's.
        quoted: Does the job have a quote? None when no job is known, and a missing one is not told.
    """
    if reading.sheet is None:
        return list(reading.problems)
    whole = Walk(
        reading.file, reading.sheet, reading.places,
        toolbox=toolbox, answers=answers, kit=kit, driven=driven or reading.sheet.driven, quoted=quoted,
    )  # fmt: skip
    chosen = sizes.sizes(reading.sheet) if scope is None else [scope]
    found = [*reading.problems, *sizes.told([replace(whole, scope=one) for one in chosen], RULES)]
    return sorted(dict.fromkeys(found), key=lambda one: (one.line, one.column, one.code))
