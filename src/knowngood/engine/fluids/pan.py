"""The pan a fluid stands in: its free surface, and how far from its middle the level is read."""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from knowngood.engine.fluids.carried import carried, stated
from knowngood.engine.judgement import Estimate

# 1 L over 1 mm² is a million mm.
MM3_PER_L = 1e6  # by definition
# Ours: a pan that nobody measured, what corners and parts inside take of its surface, and a tape. [mm]
PAN_LENGTH_MM, PAN_WIDTH_MM, PAN_HALF_SHARE, TAPE_HALF_MM = 350.0, 250.0, 0.35, 10.0
FREE_SHARE, FREE_HALF = 0.85, 0.15


class Where(StrEnum):
    """How the level is read."""

    OVERFLOW = "overflow plug"
    DIPSTICK = "dipstick"
    SIGHT_GLASS = "sight glass"


@dataclass(frozen=True)
class Pan:
    """Where the fluid stands, and where its level is read.

    Args:
        length: Of the free surface, along the vehicle. [mm]
        width: Across it. [mm]
        free: What is left of length times width beside corners and parts inside. [1]
        along: From the surface's middle to where it is read, along the vehicle. [mm]
        across: The same across it. [mm]
    """

    length: Estimate
    width: Estimate
    free: Estimate
    along: Estimate
    across: Estimate

    @property
    def area_mm2(self) -> Estimate:
        """The free surface. [mm²]"""
        return carried(lambda one, other, free: one * other * free, [self.length, self.width, self.free], unit="mm²")

    @property
    def distance_mm(self) -> Estimate:
        """From the surface's middle to where it is read, straight. [mm]"""
        return carried(lambda a, b: np.sqrt(a * a + b * b), [self.along, self.across], unit="mm")


def pan(
    *,
    length_mm: float | None = None,
    width_mm: float | None = None,
    along_mm: float | None = None,
    across_mm: float | None = None,
    free_share: float | None = None,
    read: Where = Where.OVERFLOW,
) -> Pan:
    """Return a pan as taped, and wide defaults for what nobody measured, marked assumed.

    Args:
        length_mm: Of the pan, along the vehicle; None assumes 350 ± 35 %. [mm]
        width_mm: Across it; None assumes 250 ± 35 %. [mm]
        along_mm: From the pan's middle to where it is read; None assumes a quarter of the length, ± a quarter. [mm]
        across_mm: The same across; None assumes the side wall, half of the width, or a quarter of it for a stick, ± a
            quarter. [mm]
        free_share: What corners and parts inside leave of the surface; None assumes 0.85 ± 0.15.
        read: How the level is read.

    Raises:
        ValueError: A size that is not above zero, a place outside the pan.

    Example:
        >>> found = pan(length_mm=300.0, width_mm=200.0, along_mm=0.0, across_mm=100.0)
        >>> round(found.area_mm2.value), found.distance_mm.value
        (51000, 100.0)
    """
    for size, what in ((length_mm, "long"), (width_mm, "wide")):
        if size is not None and not size > 0.0:
            raise ValueError(f"a pan {size:g} mm {what}; measure it with a tape, above zero.")
    length = _taped("pan/length", length_mm, PAN_LENGTH_MM, PAN_HALF_SHARE * PAN_LENGTH_MM, "length of the pan")
    width = _taped("pan/width", width_mm, PAN_WIDTH_MM, PAN_HALF_SHARE * PAN_WIDTH_MM, "width of the pan")
    for place, size, what in ((along_mm, length.value, "along"), (across_mm, width.value, "across")):
        if place is not None and not 0.0 <= place <= size:
            raise ValueError(f"read {place:g} mm {what} from the middle of a pan of {size:g} mm; measure both again.")
    quarter_l, quarter_w = 0.25 * length.value, 0.25 * width.value
    side = quarter_w if read is Where.DIPSTICK else 2.0 * quarter_w
    share, half = (FREE_SHARE, FREE_HALF) if free_share is None else (free_share, 0.0)
    free = stated("pan/free", share, half, unit="1", assumed=free_share is None, name="free part of the surface",
                  remedy="tape")  # fmt: skip
    return Pan(
        length, width, free,
        _taped("pan/along", along_mm, quarter_l, quarter_l, "where it is read, along"),
        _taped("pan/across", across_mm, side, quarter_w, "where it is read, across"),
    )  # fmt: skip


def _taped(key: str, measured_mm: float | None, usual_mm: float, half_mm: float, name: str) -> Estimate:
    if measured_mm is None:
        return stated(key, usual_mm, half_mm, unit="mm", assumed=True, name=name, remedy="tape")
    return stated(key, measured_mm, TAPE_HALF_MM, unit="mm", name=name, remedy="tape")
