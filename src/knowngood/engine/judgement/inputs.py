"""Input: one quantity that a formula takes, and the shape of its error."""

import math
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

import numpy as np

Array = np.ndarray[Any, np.dtype[np.float64]]


Formula = Callable[..., Any]


class Shape(StrEnum):
    """How an error is distributed about zero."""

    NORMAL = "normal"
    STUDENT_T = "student t"
    RECTANGULAR = "rectangular"
    TRIANGULAR = "triangular"
    ARCSINE = "arcsine"


# Standard uncertainty of a half-width of 1. Source: GUM 4.3.7, 4.3.9; JCGM_101 6.4 (arcsine).
PER_HALF_WIDTH = {Shape.RECTANGULAR: 3**-0.5, Shape.TRIANGULAR: 6**-0.5, Shape.ARCSINE: 2**-0.5}


@dataclass(frozen=True)
class Input:
    """One quantity that a formula takes, and how far off it may be.

    Args:
        key: Which error it is, such as "meter:blue/gain"; equal keys are one and the same error.
        value: Best value. [unit of the input]
        shape: Distribution of the error.
        half_width: For a bounded shape: how far the error can reach. [unit of the input]
        standard_uncertainty: For normal and Student's t. [unit of the input]
        degrees_of_freedom: Infinite unless it comes from few readings.
        assumed: Nobody stated it: a wide default of ours.
        remedies: Keys of what would make it smaller.
        name: What the mechanic calls it; the key when empty.
        group: The series of readings that its degrees of freedom come from; its own when empty.

    Raises:
        ValueError: Both or neither of half_width and standard_uncertainty, or the wrong one for the shape.
    """

    key: str
    value: float
    shape: Shape = Shape.NORMAL
    half_width: float | None = None
    standard_uncertainty: float | None = None
    degrees_of_freedom: float = math.inf
    assumed: bool = False
    remedies: tuple[str, ...] = ()
    name: str = ""
    group: str = ""

    def __post_init__(self) -> None:
        wanted = self.half_width if self.shape in PER_HALF_WIDTH else self.standard_uncertainty
        other = self.standard_uncertainty if self.shape in PER_HALF_WIDTH else self.half_width
        if wanted is None or other is not None or not wanted >= 0.0:
            which = "half_width" if self.shape in PER_HALF_WIDTH else "standard_uncertainty"
            raise ValueError(f"{self.key}: an error of {self.shape} shape is given by its {which} alone, from 0 up.")
        if not (math.isfinite(self.value) and math.isfinite(wanted)):
            raise ValueError(f"{self.key}: {self.value:g} within {wanted:g}; both must be plain numbers.")
        if not self.degrees_of_freedom >= 1.0:
            raise ValueError(f"{self.key}: {self.degrees_of_freedom:g} degrees of freedom; at least 1 is needed.")

    @property
    def u(self) -> float:
        """Standard uncertainty. [unit of the input]"""
        if self.half_width is not None:
            return self.half_width * PER_HALF_WIDTH[self.shape]
        assert self.standard_uncertainty is not None  # __post_init__ has looked
        return self.standard_uncertainty

    @property
    def scale(self) -> float:
        """What one unit of `unit_errors` is worth. [unit of the input]"""
        return self.u if self.half_width is None else self.half_width

    def unit_errors(self, generator: np.random.Generator, draws: int, series: dict[str, Array]) -> Array:
        """Draw errors about zero in multiples of `scale`.

        Args:
            generator: Draws.
            draws: How many.
            series: How far off each group's scatter is, in each draw; filled here, for the others of the group.
        """
        match self.shape:
            case Shape.RECTANGULAR:
                return generator.uniform(-1.0, 1.0, draws)
            case Shape.TRIANGULAR:
                return generator.random(draws) - generator.random(draws)
            case Shape.ARCSINE:
                return np.sin(generator.uniform(-np.pi / 2, np.pi / 2, draws))
        if math.isinf(self.degrees_of_freedom):
            return generator.standard_normal(draws)
        if not self.group:
            return generator.standard_t(self.degrees_of_freedom, draws)
        if self.group not in series:
            dof = self.degrees_of_freedom
            series[self.group] = np.sqrt(dof / generator.chisquare(dof, draws))
        return series[self.group] * generator.standard_normal(draws)


@dataclass(frozen=True)
class Law:
    """Where an estimate comes from: a formula, and its inputs in the order in which it takes them."""

    formula: Formula
    inputs: tuple[Input, ...]
