"""The words of a judged reading that decide how it is read: its limits, its rule, and numbers that could be others."""

from knowngood import units
from knowngood.engine.judgement import Confidence, Costs, Rule, Safety
from knowngood.engine.measurement.meters.bounds import READ, bound_judged
from knowngood.engine.troubleshooting.model.safety import SafetyKind
from knowngood.quantities.model import Given, Quantity
from knowngood.refusal import Refused, parsed
from knowngood.units.bare import number
from knowngood.words import capital

# Ours: no mistake at home costs more, in any money.
MOST_COST = 1e9


def kind_of_limits(limits: str) -> units.Kind | None:
    """The kind of limits by the unit that is written, if it is known."""
    unit = units.apart(limits)[1].split()[-1:]
    return units.kind_of(unit[0]) if unit and unit[0] in units.UNITS else None


def allowed_of(text: str, quantity: Quantity | None, beyond: units.Beyond | None) -> units.Span:
    """What is allowed, of any kind; when it cannot be read, an example of the quantity's own kind is given.

    Raises:
        Refused: At the field "limits".
    """
    try:
        return units.span(text, beyond=beyond)
    except units.UnitsError:
        return parsed("limits", lambda: units.span(text, quantity.judged if quantity else None, beyond=beyond))


def beyond_readings(quantity: Quantity) -> units.Beyond | None:
    """Return what says that no such reading can be; None where nothing closer is known than its kind."""
    bound = READ.get(quantity.name) or (bound_judged(quantity.name) if quantity.reads is quantity.judged else None)
    return bound.beyond if bound else None


def taken_in(allowed: units.Span, beyond: units.Beyond | None, quantity: Quantity, given: Given) -> tuple[str, ...]:
    """Every number that could have been read in another way, with what it was taken for."""
    limits = units.decided(allowed.text, allowed.kind, beyond=beyond)[1]
    read = units.decided(
        given.typed["read"], quantity.reads, unit=given.read.unit, many=True, beyond=beyond_readings(quantity)
    )[1]
    return tuple(dict.fromkeys([*limits, *read, *(row for ask in quantity.asks for row in given.taken(ask))]))


def rule_of(text: str, quantity: Quantity, kind: SafetyKind | None = None) -> Rule:
    """Return how sure a verdict must be, as typed: usual, safety, or two costs.

    Args:
        text: As typed; what belongs to a safety system has the rule of safety, whatever is left out.
        quantity: What is judged.
        kind: The safety system that the part belongs to, if it belongs to one.

    Raises:
        Refused: It is none of them, or weighs costs against safety.
    """
    if text in ("", "usual"):
        return Safety() if kind else Confidence()
    if text == "safety":
        return Safety()
    within, out = _two_costs(text)
    if quantity.safety or kind:
        what = capital(f"{kind}") if kind else quantity.name
        words = f"{what} is a matter of safety: no costs are weighed against it. Write safety, or leave this out."
        raise Refused({"rule": words})
    return Costs(within, out)


def _two_costs(text: str) -> tuple[float, float]:
    """Two costs as typed; a comma behind the first only separates."""
    try:
        within, out = (number(one) for one in text.replace(", ", " ").split())
    except units.Undecided as undecided:
        raise Refused({"rule": str(undecided)}) from undecided
    except ValueError:
        within = out = 0.0
    if not (0.0 < within <= MOST_COST and 0.0 < out <= MOST_COST):
        raise Refused(
            {"rule": f'"{text}" is not a rule. Write usual, safety, or two costs above zero such as "30 100".'}
        )
    return within, out
