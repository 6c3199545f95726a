"""Torque wrenches: which of them fits a torque, and what really arrives at the bolt."""

from dataclasses import dataclass
from enum import StrEnum

from knowngood.engine.judgement import Estimate, Input, Shape, linear

# The tolerance follows the wrench's maximum, not the setting. Source: ISO_6789, as reprinted.
SMALL_WRENCH_NM, SMALL_PERCENT, LARGE_PERCENT = 10.0, 6.0, 4.0
# Where the lowest mark is not known, a wrench counts from a fifth of full scale. Source: ISO_6789, as reprinted.
LOWEST_SHARE = 0.2
# Ours: pulling past the click, not square to the bolt or in jerks.
HAND_PERCENT = 3.0


@dataclass(frozen=True)
class Wrench:
    """A torque wrench.

    Args:
        name: What its owner calls it.
        upper_nm: Highest mark. [N·m]
        lower_nm: Lowest mark; None takes a fifth of the highest. [N·m]
        percent: Tolerance of the setting; None takes that of its size. [%]

    Raises:
        ValueError: Marks that are not above zero or not in order, a tolerance below zero.
    """

    name: str
    upper_nm: float
    lower_nm: float | None = None
    percent: float | None = None

    def __post_init__(self) -> None:
        if not 0.0 < self.lowest_nm < self.upper_nm:
            raise ValueError(
                f"{self.name}: marks from {self.lowest_nm:g} to {self.upper_nm:g} N·m; the lowest is above zero and "
                "below the highest. Read both marks on the wrench."
            )
        if not self.tolerance_percent >= 0.0:
            raise ValueError(
                f"{self.name}: ± {self.tolerance_percent:g} %; a tolerance is zero or more. Read it on its certificate."
            )

    @property
    def lowest_nm(self) -> float:
        """Lowest torque that it can be set to. [N·m]"""
        return LOWEST_SHARE * self.upper_nm if self.lower_nm is None else self.lower_nm

    @property
    def tolerance_percent(self) -> float:
        """How far off a setting may be. [%]"""
        if self.percent is not None:
            return self.percent
        return SMALL_PERCENT if self.upper_nm <= SMALL_WRENCH_NM else LARGE_PERCENT


class Suits(StrEnum):
    """Can a wrench be set to a torque?"""

    FITS = "fits"
    TOO_LARGE = "the wrench begins above it"
    TOO_SMALL = "the wrench ends below it"


def suitability(wrench: Wrench, torque_nm: float) -> Suits:
    """Return whether a wrench can be set to a torque; both marks count as usable.

    Raises:
        ValueError: A torque that is not above zero.

    Example:
        >>> suitability(Wrench("large", 200.0), 25.0).value
        'the wrench begins above it'
    """
    _refuse(torque_nm)
    if torque_nm < wrench.lowest_nm:
        return Suits.TOO_LARGE
    return Suits.TOO_SMALL if torque_nm > wrench.upper_nm else Suits.FITS


def best(wrenches: tuple[Wrench, ...], torque_nm: float) -> Wrench | None:
    """Return the fitting wrench with the smallest tolerance, then the smallest one; None when none fits.

    Raises:
        ValueError: A torque that is not above zero.
    """
    fitting = [one for one in wrenches if suitability(one, torque_nm) is Suits.FITS]
    return min(fitting, key=lambda one: (one.tolerance_percent, one.upper_nm), default=None)


def applied_torque(set_nm: float, wrench: Wrench) -> Estimate:
    """Return the torque that arrives when a wrench is set to a value.

    The wrench's error is one error for all that it tightens. How it is pulled is assumed, anew for each bolt.

    Args:
        set_nm: Setting. [N·m]
        wrench: The wrench.

    Raises:
        ValueError: The wrench cannot be set so.

    Example:
        >>> arrived = applied_torque(25.0, Wrench("middle", 50.0))
        >>> arrived.value, round(arrived.standard_uncertainty, 3)
        (25.0, 0.722)
    """
    if suitability(wrench, set_nm) is not Suits.FITS:
        raise ValueError(
            f"{wrench.name} cannot be set to {set_nm:g} N·m; it goes from {wrench.lowest_nm:g} to "
            f"{wrench.upper_nm:g} N·m. Take another wrench."
        )
    tool, hand = wrench.tolerance_percent / 100.0, HAND_PERCENT / 100.0
    inputs = [
        Input(f"wrench:{wrench.name}/setting", 0.0, Shape.RECTANGULAR, tool, name="tolerance of the wrench"),
        Input("hand", 0.0, Shape.RECTANGULAR, hand, assumed=True, remedies=("pull",), name="how it is pulled"),
    ]
    return linear(lambda setting, pull: set_nm * (1.0 + setting + pull), inputs, unit="N·m")


def _refuse(torque_nm: float) -> None:
    if not torque_nm > 0.0:
        raise ValueError(f"a torque of {torque_nm:g} N·m is not above zero. Look it up in the manual again.")
