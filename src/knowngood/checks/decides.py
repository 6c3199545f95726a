"""What a limit decides, in a form that every sentence can be made of."""

from collections.abc import Iterator

from knowngood.checks.walk import Walk
from knowngood.sheet.act_named import WHETHER, names_act
from knowngood.sheet.problem import Problem, Severity


def no_act_named(walk: Walk) -> Iterator[Problem]:
    """Limits whose `decides` names no act: nobody can say of them what follows from a reading."""
    for name, limit in walk.sheet.limits.items():
        if limit.decides is None or names_act(limit.decides):
            continue
        begins = f"begins with {WHETHER}" if limit.decides.casefold().startswith(WHETHER) else "names no act"
        words = (
            f'"{limit.name}": decides {begins}: "{limit.decides}". It names the act that follows when the reading is '
            'out, beginning with its verb. Write such as "renew the relay", or leave it out of a check after a repair.'
        )
        yield walk.problem("no act named", Severity.NOTE, ("limits", name, "decides"), words)
