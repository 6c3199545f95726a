"""Coolant: the freezing point of a mixture, the share for a wanted one, and what to pour in to get there."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np

from knowngood.engine.fluids.between import Array, on_line
from knowngood.engine.fluids.carried import carried, stated
from knowngood.engine.fluids.densities import MOST_GLYCOL_PERCENT
from knowngood.engine.fluids.expansion import check_share
from knowngood.engine.judgement import Estimate, Input, Shape
from knowngood.engine.tables import table

# Density of ethylene glycol at 20 °C. Source: PERRY_2008.
GLYCOL_KG_PER_L = 1.114
# Ours: what additives and water from old use move the freezing point of a mixture of known share.
ADDITIVES_HALF_K = 2.0
# Ours: what a bottle of concentrate holds that is no glycol, and how well a ready mix keeps to its label. [%]
CONCENTRATE_PERCENT, CONCENTRATE_HALF, READY_HALF = 94.0, 3.0, 2.0


@dataclass(frozen=True)
class Part:
    """What is in the circuit or goes in.

    Args:
        litre: Its volume at 20 °C. [L]
        percent: Glycol by volume. [%]
    """

    litre: Estimate
    percent: Estimate


@dataclass(frozen=True)
class Mixture:
    """What the parts make together.

    Args:
        percent: Glycol by volume. [%]
        freezing: Where ice begins. [°C]
        litre: All of it, at 20 °C; what mixing shrinks is under 1 % and left out. [L]
    """

    percent: Estimate
    freezing: Estimate
    litre: Estimate


def share(percent: float, half_width: float = READY_HALF, *, key: str = "coolant/share") -> Estimate:
    """Return a share of glycol that a label, a tester or the manual states. [% by volume]

    Args:
        percent: Glycol by volume. [%]
        half_width: How far off it may be; that of a ready mix unless told otherwise. [%]
        key: Which error it is: of what is in the circuit, or of which bottle.

    Raises:
        ValueError: A share below nothing or above a whole.
    """
    if not 0.0 <= percent <= 100.0:
        raise ValueError(f"{percent:g} % glycol; a share lies from 0 to 100 %. Take it from the label.")
    return stated(key, percent, half_width, unit="%", name="share of glycol", remedy="tester")


def concentrate(key: str = "coolant/concentrate") -> Estimate:
    """Return the share of glycol in a bottle of concentrate: 94 ± 3 % by volume, ours."""
    return stated(
        key,
        CONCENTRATE_PERCENT,
        CONCENTRATE_HALF,
        unit="%",
        name="glycol in the concentrate",
        assumed=True,
        remedy="label",
    )  # fmt: skip


def freezing_point(percent: float) -> float:
    """Return where ice begins in ethylene glycol and water.

    Args:
        percent: Glycol by volume, not by mass. [%]

    Raises:
        ValueError: More than 60 %, where the freezing point rises again.

    Source:
        COOLPROP_AEG, straight between rows 2.5 % apart.

    Example:
        >>> round(freezing_point(50.0), 1)
        -37.1
    """
    check_share(percent)
    return float(_freezing(percent))


def share_for(freezing_c: float) -> float:
    """Return the share of glycol that freezes at this temperature. [% by volume]

    Args:
        freezing_c: Where ice may begin. [°C]

    Raises:
        ValueError: Above 0 °C, or colder than 60 % reaches.

    Source:
        COOLPROP_AEG.

    Example:
        >>> round(share_for(-25.0), 1)
        40.2
    """
    percents, freezing_c_rows = _rows()
    coldest = float(freezing_c_rows[-1])
    if not coldest <= freezing_c <= 0.0:
        raise ValueError(
            f"a freezing point of {freezing_c:g} °C; mixtures up to {MOST_GLYCOL_PERCENT:g} % glycol freeze from 0 to "
            f"{coldest:g} °C. Take the coldest night of the place, less a few degrees."
        )
    return float(np.interp(-freezing_c, -freezing_c_rows, percents))


def frozen_at(percent: Estimate) -> Estimate:
    """Return the freezing point of a mixture with doubt: its share's, and ± 2 °C for additives and age, ours. [°C]

    Raises:
        ValueError: More than 60 %.

    Example:
        >>> found = frozen_at(share(50.0))
        >>> round(found.value, 1), round(found.standard_uncertainty, 1)
        (-37.1, 1.9)
    """
    check_share(percent.value)
    additives = Input("coolant/additives", 0.0, Shape.RECTANGULAR, ADDITIVES_HALF_K, assumed=True,
                      remedies=("tester",), name="additives and age")  # fmt: skip
    return carried(lambda p, off: _freezing(p) + off, [percent, additives], unit="°C")


def mixture(parts: Sequence[Part]) -> Mixture:
    """Return what is in the circuit once all parts are in it and mixed.

    Args:
        parts: What stayed in, and each thing that goes in; water is a part of 0 %.

    Raises:
        ValueError: No part, or more than 60 % glycol.

    Source:
        COOLPROP_AEG, freezing point.

    Example:
        >>> stayed = Part(stated("left", 2.0, 0.2, unit="L"), share(30.0, 5.0))
        >>> bottle = Part(stated("poured", 1.0, 0.05, unit="L"), concentrate())
        >>> found = mixture([stayed, bottle])
        >>> round(found.percent.value, 1), round(found.freezing.value, 1), round(found.freezing.standard_uncertainty, 1)
        (51.3, -39.0, 3.4)
    """
    if not parts:
        raise ValueError("nothing to mix; write what stayed in the circuit and what goes in.")

    def mixed(*both: Any) -> Any:
        litres, percents = both[: len(parts)], both[len(parts) :]
        return sum(litre * percent for litre, percent in zip(litres, percents, strict=True)) / sum(litres)

    litres, percents = [one.litre for one in parts], [one.percent for one in parts]
    found = carried(mixed, [*litres, *percents], unit="%")
    return Mixture(found, frozen_at(found), carried(lambda *each: sum(each), litres, unit="L"))


def to_swap(whole: Part, wanted_percent: float, added_percent: Estimate) -> Estimate:
    """Return how much to let out of a full circuit and replace, for a wanted share. [L]

    Args:
        whole: The full circuit, well mixed.
        wanted_percent: Share of glycol afterwards, by volume. [%]
        added_percent: Share of what is poured in; 0 for water. [%]

    Raises:
        ValueError: A share above 60 %, or one that what is poured in cannot reach.

    Example:
        >>> whole = Part(stated("total", 8.0, 0.4, unit="L"), share(40.0, 2.0))
        >>> round(to_swap(whole, 50.0, concentrate()).value, 2)
        1.48
    """
    _refuse_out_of_reach(whole.percent.value, wanted_percent, added_percent.value)

    def swapped(litre: Any, here: Any, bottle: Any) -> Any:
        return litre * (wanted_percent - here) / (bottle - here)

    return carried(swapped, [whole.litre, whole.percent, added_percent], unit="L")


def to_fill(stayed: Part, room_l: Estimate, wanted_percent: float, added_percent: Estimate) -> Estimate:
    """Return how much of what fills a circuit up again must be concentrate, the rest water, for a wanted share. [L]

    Args:
        stayed: What is still in the circuit.
        room_l: What goes in until it is full. [L]
        wanted_percent: Share of glycol afterwards, by volume. [%]
        added_percent: Share of the concentrate. [%]

    Raises:
        ValueError: A share above 60 %, or one that this room cannot reach.

    Example:
        >>> stayed = Part(stated("left", 2.0, 0.2, unit="L"), share(40.0))
        >>> round(to_fill(stayed, stated("room", 4.0, 0.1, unit="L"), 50.0, concentrate()).value, 2)
        2.34
    """
    check_share(wanted_percent)

    def poured(litre: Any, here: Any, room: Any, bottle: Any) -> Any:
        return (wanted_percent * (litre + room) - here * litre) / bottle

    found = carried(poured, [stayed.litre, stayed.percent, room_l, added_percent], unit="L")
    if not 0.0 <= found.value <= room_l.value:
        way = "only water, and less of what is in" if found.value < 0.0 else "more concentrate than there is room for"
        raise ValueError(
            f"{room_l.value:.2g} L of room do not make {wanted_percent:.0f} %: it would take {way}. Let more of the "
            f"old "
            "out first."
        )
    return found


def _refuse_out_of_reach(here: float, wanted: float, added: float) -> None:
    check_share(wanted)
    if (wanted - here) * (added - wanted) < 0.0 or added == wanted:
        raise ValueError(
            f"from {here:g} % to {wanted:g} % by pouring in {added:g} %: that moves it the other way, or never gets "
            "there. Pour in concentrate for more glycol, water for less."
        )


def _freezing(percent: Any) -> Any:
    return on_line(percent, *_rows())


@cache
def _rows() -> tuple[Array, Array]:
    printed = table("glycol_freezing")
    return np.array(printed["share_percent"], dtype=float), np.array(printed["freezing_c"], dtype=float)
