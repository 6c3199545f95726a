"""What a limit says of its quantity: its name, the kind of its limits, and what is given for its asks."""

from collections.abc import Iterator
from difflib import get_close_matches

from knowngood import units
from knowngood.checks.walk import Walk
from knowngood.engine.measurement.meters.instruments import typical
from knowngood.quantities.known import QUANTITIES, example_words, quantity_for
from knowngood.quantities.model import Ask, Given, Quantity
from knowngood.quantities.refusing import refused_ask, refused_limits
from knowngood.sheet.model import AskFor, AskRef, Costs, Limit
from knowngood.sheet.problem import Problem, Severity


def unfit_quantities(walk: Walk) -> Iterator[Problem]:
    """Limits that no reading can be judged against as they are written."""
    for name, limit in walk.sheet.limits.items():
        if limit.quantity and limit.quantity not in QUANTITIES:
            yield walk.problem("unknown quantity", Severity.STOP, ("limits", name, "quantity"), _unknown(limit))
            continue
        span = walk.value(limit.band, AskFor.LIMITS)
        quantity = quantity_for(limit.quantity or "", span.kind if span else _kind_asked(walk, limit))
        if quantity is None:
            continue
        if span is not None and quantity.judged is not span.kind:
            words = _another_kind(limit, quantity, span)
            yield walk.problem("limits of another kind", Severity.STOP, ("limits", name, "band"), words)
        elif span is not None and (cannot_be := refused_limits(quantity, span)):
            words = f'"{limit.name}": {cannot_be}'
            yield walk.problem("limits that cannot be", Severity.STOP, ("limits", name, "band"), words)
        if quantity.safety and isinstance(limit.rule, Costs):
            words = (
                f'"{limit.name}" has two costs, and {quantity.name} is a matter of safety: no costs are weighed '
                'against it. Write "rule: safety", or take the costs out.'
            )
            yield walk.problem("costs against safety", Severity.STOP, ("limits", name, "rule"), words)
        yield from _given(walk, name, limit, quantity)


def _kind_asked(walk: Walk, limit: Limit) -> units.Kind:
    """The kind that the manual's limits will be of: that of the example beside the question."""
    assert isinstance(limit.band, AskRef)
    try:
        return units.span(walk.sheet.asks[limit.band.ask].like).kind
    except units.UnitsError:
        return units.Kind.RESISTANCE


def _unknown(limit: Limit) -> str:
    near = get_close_matches(limit.quantity or "", QUANTITIES, n=1)
    hint = f'did you mean "{near[0]}"?' if near else "knowngood judge --help lists all."
    return f'"{limit.name}" is judged as "{limit.quantity}", which no quantity is called; {hint}'


def _another_kind(limit: Limit, quantity: Quantity, span: units.Span) -> str:
    judged = quantity.judged
    return (
        f'"{limit.name}" has "{span.text}", {span.kind.words}; {quantity.name} is judged as {judged.words}, such as '
        f"{judged.example}. Write limits of that kind, or another quantity."
    )


def _given(walk: Walk, name: str, limit: Limit, quantity: Quantity) -> Iterator[Problem]:
    asks = {ask.name: ask for ask in quantity.asks}
    for key in limit.given:
        path = ("limits", name, "given", key)
        if key not in asks:
            words = f'"{limit.name}" gives "{key}", which {quantity.name} does not ask; {_asks_words(key, asks)}'
            yield walk.problem("not asked", Severity.STOP, path, words)
        elif refused := _refused(quantity, asks[key], limit):
            yield walk.problem("unreadable given", Severity.STOP, path, f'"{limit.name}" gives {key}: {refused}')


def _asks_words(key: str, asks: dict[str, Ask]) -> str:
    near = get_close_matches(key, asks, n=1)
    if near:
        return f'did you mean "{near[0]}"?'
    return f"it asks {', '.join(asks)}." if asks else "it asks nothing. Take the line out."


def _refused(quantity: Quantity, ask: Ask, limit: Limit) -> str | None:
    """Why what is given cannot be read; None when it can."""
    unit = quantity.read_in("")
    bare = quantity.bare_unit(ask, unit)
    text = units.completed(limit.given[ask.name].strip(), bare) if ask.kind else limit.given[ask.name].strip()
    example = example_words(quantity)["read"]
    read = units.readings(units.completed(example, unit), quantity.reads, unit=unit)
    given = Given(read, typical(quantity.reads.unit, read.step), {ask.name: text}, "given", quantity=quantity.name)
    return refused_ask(given, quantity, ask)
