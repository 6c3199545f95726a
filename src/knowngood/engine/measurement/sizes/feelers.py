"""What is found by feel: a gap by blades that go or do not, and lengths whose end is felt or pushed to."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from knowngood.engine.judgement import Estimate, Input, Shape, propagate
from knowngood.engine.measurement.meters.instruments import Meter, gain_input, reading_inputs

# The next blade of a usual set. [mm] Common practice, no source.
BLADE_STEP_MM = 0.05
# A blade against what is printed on it, worn ones included. [mm] Ours.
BLADE_HALF_MM = 0.005
# "Goes with a light drag" differs from hand to hand: a blade is forced, or held askew. [mm] Ours.
DRAG_HALF_MM = 0.01
# Blades are no thicker. [mm] Ours: a sum of blades beyond it is a slip of the point.
THICKEST_MM = 5.0


@dataclass(frozen=True)
class ByHand:
    """What a hand adds to a length: where it ends, and how hard it was pushed. Ours.

    Args:
        name: What is uncertain about its end, in the mechanic's words.
        half_mm: How far its end may be off. [mm]
        share: How far the push may be off, as a share of the length: it gives way as it is pushed. [1]
        end_assumed: Nobody stated half_mm.
        push_assumed: Nobody stated share.
        what: It is called.
        do: What to write, when a reading cannot be.
        none: It may be zero.
    """

    name: str
    half_mm: float
    share: float = 0.0
    end_assumed: bool = True
    push_assumed: bool = True
    what: str = "length"
    do: str = "write how far it moved without a sign"
    none: bool = True


# Ours: by how much two people who measure by hand may differ.
FREE_PLAY = ByHand("where the play ends and the resistance begins", 2.0, what="free play")
SPRING = ByHand(
    "the spring standing square, and its ends", 0.3, what="spring", do="write its length from end to end", none=False
)
BELT_BY_THUMB = ByHand("the ruler beside the belt", 1.0, 0.3, what="deflection")
# A luggage scale is read to about a twentieth. Ours.
BELT_BY_SCALE = ByHand("the ruler beside the belt", 1.0, 0.05, push_assumed=False, what="deflection")


def feeler_gap(
    goes_mm: float,
    not_mm: float | None = None,
    *,
    blades: str = "not described",
    blade_half_mm: float | None = None,
    reading_id: str = "reading",
    seed: int = 0,
) -> Estimate:
    """Return the gap between the thickest blade that goes and the thinnest that does not.

    Anything between the two is equally likely. The blades' own error is one and the same for both: they come from
    one set.

    Args:
        goes_mm: Thickest blade, or sum of blades, that goes in; 0 when none does. [mm]
        not_mm: Thinnest that does not; None assumes the next of a set in steps of 0.05. [mm]
        blades: What the set is called; two gaps by one set share its error.
        blade_half_mm: How far a blade may be off; None assumes 0.005. [mm]
        reading_id: Makes the keys of this reading's own errors.
        seed: Of the Monte Carlo draws.

    Raises:
        ValueError: A blade below zero or far too thick, or the two the wrong way round.

    Source:
        GUM, 4.3.7, rectangle between two bounds.

    Example:
        >>> gap = feeler_gap(0.25, 0.30)
        >>> round(gap.value, 3), round(gap.standard_uncertainty, 4)
        (0.275, 0.0158)
    """
    above = goes_mm + BLADE_STEP_MM if not_mm is None else not_mm
    _refuse_blades(goes_mm, above)
    key = f"reading:{reading_id}"
    inputs = [
        Input(
            f"{key}/between", 0.5 * (goes_mm + above), Shape.RECTANGULAR, 0.5 * (above - goes_mm),
            assumed=not_mm is None, remedies=("blade",), name="between the blade that goes and the next",
        ),
        Input(
            f"meter:{blades}/blade", 0.0, Shape.RECTANGULAR, BLADE_HALF_MM if blade_half_mm is None else blade_half_mm,
            assumed=blade_half_mm is None, remedies=("micrometer",), name="the blades against what is printed on them",
        ),
        Input(
            f"{key}/drag", 0.0, Shape.RECTANGULAR, DRAG_HALF_MM,
            assumed=True, remedies=("drag",), name="how hard a blade that goes was dragged",
        ),
    ]  # fmt: skip

    def wide(between: Any, blade: Any, drag: Any) -> Any:
        return between + blade + drag

    return propagate(wide, inputs, unit="mm", seed=seed)


def _refuse_blades(goes_mm: float, not_mm: float) -> None:
    if goes_mm < 0.0:
        raise ValueError(
            f"a blade of {goes_mm:g} mm is below zero. Write the thickest blade that goes, or 0 when none does."
        )
    if not goes_mm < not_mm:
        raise ValueError(
            f"{goes_mm:g} mm goes and {not_mm:g} mm does not: the one that goes must be the thinner. "
            f'Write it first, such as "0.25 0.30 mm".'
        )
    if not_mm > THICKEST_MM:
        raise ValueError(
            f"a blade of {not_mm:g} mm is thicker than any set has; up to {THICKEST_MM:g} mm is taken. "
            "Check the point and the unit."
        )


def length_by_hand(
    read_mm: Sequence[float], *, meter: Meter, by_hand: ByHand, reading_id: str = "reading", seed: int = 0
) -> Estimate:
    """Return a length whose end is found, or pushed to, by hand: free play, a free spring, a belt's deflection.

    Args:
        read_mm: Repeated readings of the same length. [mm]
        meter: What they were read with.
        by_hand: What the hand adds.
        reading_id: Makes the keys of this reading's own errors.
        seed: Of the Monte Carlo draws.

    Raises:
        ValueError: No reading, or one below zero; a spring without any length.

    Source:
        GUM, 5.1.2.

    Example:
        >>> play = length_by_hand([18, 19, 18], meter=Meter("ruler", 0, 0, 1), by_hand=FREE_PLAY)
        >>> round(play.value, 2), round(play.standard_uncertainty, 2)
        (18.33, 1.2)
    """
    low = min(read_mm, default=0.0)
    if low < 0.0 or (low == 0.0 and read_mm and not by_hand.none):
        below = "below zero" if by_hand.none else "not above zero"
        raise ValueError(f"a {by_hand.what} of {low:g} mm is {below}. Read again, and {by_hand.do}.")
    key = f"reading:{reading_id}"
    inputs = [
        *reading_inputs(read_mm, meter, key=key, name="the readings"),
        gain_input(meter),
        Input(
            f"{key}/end", 0.0, Shape.RECTANGULAR, by_hand.half_mm,
            assumed=by_hand.end_assumed, remedies=("end",), name=by_hand.name,
        ),
        Input(
            f"{key}/push", 0.0, Shape.RECTANGULAR, by_hand.share,
            assumed=by_hand.push_assumed, remedies=("scale",), name="how hard it was pushed",
        ),
    ]  # fmt: skip

    def long(read: Any, digits: Any, step: Any, gain: Any, end: Any, push: Any) -> Any:
        return read * (1.0 + gain) * (1.0 + push) + digits + step + end

    return propagate(long, inputs, unit="mm", seed=seed)
