"""A formula over Estimates: their errors are carried on by key, so that what two of them share adds or cancels."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from knowngood.engine.judgement import Estimate, Input, Shape, combine, linear
from knowngood.engine.judgement.inputs import Formula
from knowngood.engine.judgement.propagate import sensitivities


def carried(formula: Formula, arguments: Sequence[Estimate | Input], *, unit: str) -> Estimate:
    """Return what a formula makes of some Estimates and inputs, by the linear law.

    Args:
        formula: Takes the values in order; plain arithmetic and numpy functions.
        arguments: What is known of each.
        unit: Unit of the result.

    Source:
        GUM, 5.1.2 and 5.2.2, by the errors that the arguments share.

    Example:
        >>> gain = Input("jug:blue", 1.0, Shape.RECTANGULAR, 0.05)
        >>> part, whole = (linear(lambda g: size * g, [gain], unit="L") for size in (2.0, 5.0))
        >>> share = carried(lambda a, b: a / b, [part, whole], unit="1")
        >>> share.value, round(share.standard_uncertainty, 12)
        (0.4, 0.0)
    """
    known = [one if isinstance(one, Estimate) else linear(_itself, [one], unit=unit) for one in arguments]
    values = [one.value for one in known]
    stand_ins = [
        Input(str(at), one.value, standard_uncertainty=one.standard_uncertainty) for at, one in enumerate(known)
    ]
    slopes = sensitivities(formula, stand_ins)
    found = combine(list(zip(slopes, known, strict=True)), unit=unit)
    return replace(found, value=float(formula(*values)), quantiles=None, law=None)


def stated(
    key: str,
    value: float,
    half_width: float,
    *,
    unit: str,
    name: str = "",
    assumed: bool = False,
    remedy: str | None = None,
) -> Estimate:
    """Return what somebody stated, anywhere within its half-width, as an Estimate with one row.

    Args:
        key: Which error it is; equal keys are one and the same.
        value: Best value. [unit]
        half_width: How far off it may be. [unit]
        unit: Its unit.
        name: What the mechanic calls it.
        assumed: Nobody stated it.
        remedy: Key of what would make it smaller.

    Example:
        >>> round(stated("manual/total", 8.0, 0.4, unit="L").standard_uncertainty, 3)
        0.231
    """
    remedies = () if remedy is None else (remedy,)
    one = Input(key, value, Shape.RECTANGULAR, half_width, assumed=assumed, remedies=remedies, name=name)
    return linear(_itself, [one], unit=unit)


def _itself(value: Any) -> Any:
    return value
