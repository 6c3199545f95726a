"""What an engine uses between top-ups, per 1000 km, and when the next top-up is due."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from knowngood.engine.fluids.carried import carried
from knowngood.engine.judgement import Estimate, Input, Shape, combine, linear
from knowngood.engine.judgement.distribution import bisect

PER_KM = 1000.0  # by definition
# Ours: a stick read to a quarter of the way between its marks, which is often 1 L; a bottle's scale, the same each
# time; half of what one bottle's scale is divided into. An odometer is right to the kilometre, but for its tyres.
LEVEL_HALF_L, BOTTLE_HALF_SHARE, POUR_HALF_L, ODOMETER_HALF_SHARE = 0.25, 0.05, 0.05, 0.03
# When to look again: 1 chance in 10 that it is due before.
EARLY = 0.1


@dataclass(frozen=True)
class TopUp:
    """One time that the level was read and something, or nothing, was poured in.

    Args:
        km: Odometer. [km]
        litre: Poured in; 0 when the level was only read. [L]
        below_l: How far the level stood below the upper mark before pouring; None when nobody wrote it. [L]

    Raises:
        ValueError: Below zero.
    """

    km: float
    litre: float
    below_l: float | None = None

    def __post_init__(self) -> None:
        if not self.km >= 0.0:
            raise ValueError(f"an odometer of {self.km:g} km; write what it showed.")
        if not self.litre >= 0.0:
            raise ValueError(f"{self.litre:g} L poured in; write 0 when the level was only read.")

    @property
    def after_l(self) -> float | None:
        """How far below the upper mark it stood after pouring; None when the level was not written. [L]"""
        return None if self.below_l is None else self.below_l - self.litre


@dataclass(frozen=True)
class Use:
    """What an engine uses.

    Args:
        per_1000_km: [L/1000 km]
        km: Distance that it rests on. [km]
        litre: Poured in over that distance. [L]
        times: How many levels it rests on.
    """

    per_1000_km: Estimate
    km: float
    litre: float
    times: int


def use(top_ups: Sequence[TopUp], *, step_l: float | None = None, marks_half_share: float = 0.0) -> Use:
    """Return what an engine uses, from the first level to the last.

    What was poured in at the first level was used before it and does not count; all later ones do. Where nobody wrote a
    level, each is taken to have been filled up to the same one.

    Args:
        top_ups: In any order; two at least.
        step_l: How finely the level can be read; None assumes a quarter litre either way. [L]
        marks_half_share: How far the distance between the marks may be off, as a share of it, where levels were read
            as shares of that; 0 where they were read in litres.

    Raises:
        ValueError: Fewer than two, one odometer twice, or a level written at one end only.

    Source:
        GUM, 5.1.2; the error of the levels at both ends counts, those in between cancel.

    Example:
        >>> found = use([TopUp(50_000, 0.5), TopUp(53_000, 0.6), TopUp(56_000, 0.6)])
        >>> round(found.per_1000_km.value, 2), round(found.per_1000_km.standard_uncertainty, 2), found.km
        (0.2, 0.04, 6000)
    """
    ordered = sorted(top_ups, key=lambda one: one.km)
    _refuse(ordered)
    first, last = ordered[0], ordered[-1]
    km, litre = last.km - first.km, sum(one.litre for one in ordered[1:])
    half = LEVEL_HALF_L if step_l is None else 0.5 * step_l
    assumed = step_l is None
    # What the level fell by beside what was poured in between: by the marks, and by the first and last pouring.
    sank = 0.0 if first.below_l is None or last.below_l is None else last.below_l - first.below_l
    fell = 0.0 if first.after_l is None or last.after_l is None else first.litre - last.litre
    inputs = [
        *(Input(f"level/{end}", 0.0, Shape.RECTANGULAR, half, assumed=assumed, remedies=("level",),
                name=f"the {end} level") for end in ("first", "last")),
        Input("bottle", 0.0, Shape.RECTANGULAR, BOTTLE_HALF_SHARE, assumed=True, name="scale of the bottle"),
        Input("odometer", 0.0, Shape.RECTANGULAR, ODOMETER_HALF_SHARE, assumed=True, name="odometer and tyres"),
        *(Input(f"pour {at}", 0.0, Shape.RECTANGULAR, POUR_HALF_L, assumed=True, name=f"pouring at {one.km:.0f} km")
          for at, one in enumerate(ordered[1:], start=2) if one.litre > 0.0),
    ]  # fmt: skip
    if marks_half_share:
        marks = Input(
            "marks", 0.0, Shape.RECTANGULAR, marks_half_share, assumed=True, name="distance between the marks"
        )
        inputs.insert(0, marks)

    def used(*given: Any) -> Any:
        marks, *rest = given if marks_half_share else (0.0, *given)
        begin, end, bottle, odometer, *pours = rest
        level = sank * (1.0 + marks) + fell + end - begin
        return (litre * (1.0 + bottle) + sum(pours) + level) / (km * (1.0 + odometer)) * PER_KM

    found = linear(used, inputs, unit="L/1000 km")
    return Use(found, km, litre, len(ordered))


@dataclass(frozen=True)
class NextTopUp:
    """When the next top-up is due.

    Args:
        after: Distance until the level is as low as allowed. [km]
        look_after_km: Look at the level after this; 1 chance in 10 that it is due before. [km]
    """

    after: Estimate
    look_after_km: float


def next_top_up(per_1000_km: Estimate, room_l: Estimate) -> NextTopUp:
    """Return how far it is to the next top-up.

    Args:
        per_1000_km: What the engine uses. [L/1000 km]
        room_l: From the level now down to the lower mark. [L]

    Raises:
        ValueError: No use that can be told from nothing, or no room.

    Source:
        GUM, 5.1.2, on the room that is left after a distance: the quotient itself is far from normal.

    Example:
        >>> found = use([TopUp(50_000, 0.5), TopUp(53_000, 0.6), TopUp(56_000, 0.6)])
        >>> from knowngood.engine.fluids.carried import stated
        >>> due = next_top_up(found.per_1000_km, stated("room", 0.8, 0.2, unit="L"))
        >>> round(due.after.value, -2), round(due.look_after_km, -2)
        (4000.0, 3000.0)
    """
    if not room_l.quantile(EARLY) > 0.0:
        raise ValueError(f"{room_l.value:.2g} L down to the lower mark, by a level that may be off: top up now.")
    if not per_1000_km.quantile(EARLY) > 0.0:
        raise ValueError(
            f"{per_1000_km.value:.2g} L in 1000 km cannot be told from nothing yet: no distance follows. "
            "Write the level again after more kilometres."
        )
    after = carried(lambda room, used: PER_KM * room / used, [room_l, per_1000_km], unit="km")

    def due_by(km: float) -> float:
        return combine([(1.0, room_l), (-km / PER_KM, per_1000_km)]).below(0.0)

    return NextTopUp(after, bisect(lambda km: due_by(km) - EARLY, 0.0, after.value))


def _refuse(ordered: Sequence[TopUp]) -> None:
    if len(ordered) < 2:
        raise ValueError(f"use follows from two levels at least; found: {len(ordered)}. Write the level again later.")
    for one, other in pairwise(ordered):
        if one.km == other.km:
            raise ValueError(f"two entries at {one.km:.0f} km; put them together, or check the odometer.")
    if (ordered[0].after_l is None) != (ordered[-1].after_l is None):
        raise ValueError(
            "the level is written at one end only; write it at the first and at the last entry, or at neither "
            "when both were filled up to the same mark."
        )
