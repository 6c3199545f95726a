"""What was typed for a verdict, back in the fields of its form: one thing more can be stated without the rest."""

from typing import Any

from knowngood.acts.readings.gated import NOT_SAFETY
from knowngood.acts.readings.judging import UNNAMED
from knowngood.store.event import Event
from knowngood.web.parts.forms import Form, Kept


def with_typed(form: Form, event: Event | None, kept: Kept | None) -> dict[str, Any]:
    """Return a form as its macro takes it: with what came back with a problem, else with what was typed last."""
    mine = kept if kept and kept.key == form.key else None
    return {**form.shown(mine or typed_last(form, event)), "open": mine is not None}


def typed_last(form: Form, event: Event | None) -> Kept | None:
    """Return the values of a reading for the form that it came from; None where it is no reading of one's own."""
    if event is None or event.kind != "reading_judged":
        return None
    data = event.data
    typed = {**data["typed"], "name": "" if data["name"] == UNNAMED else data["name"]}
    typed |= {NOT_SAFETY: data[NOT_SAFETY]} if NOT_SAFETY in data else {}
    part, _, give = typed.get("part", "").partition("±")
    typed |= {"part": part.strip(), "part_give": give.strip()} if give else {}
    units_shown = {field.name: field.unit for field in form.fields}
    return Kept(form.key, {key: _bare(words, units_shown.get(key, "")) for key, words in typed.items()}, {})


def _bare(words: str, unit: str) -> str:
    """Without the unit that the field shows itself."""
    number = words.removesuffix(unit).rstrip() if unit else words
    return number if number[-1:].isdecimal() else words  # "20 mV" is not 20 m of V
