"""One winding cold and hot: its resistance as it was read, and whether it rises as copper should."""

import math
from dataclasses import replace

from knowngood.engine.judgement import Band, Confidence, Estimate, Judgement, combine, judge
from knowngood.engine.measurement.electrical.resistance import CONDUCTORS, REFERENCE_C, resistance_at_reference

# Ours: so much of the warming may come of something else than copper before the winding is suspect.
OTHER_THAN_COPPER = 0.2


def as_read(
    corrected: Estimate, *, part_c: float, conductor: str = "copper", reference_c: float = REFERENCE_C
) -> Estimate:
    """Return a winding's resistance at its own temperature, from what `winding_resistance` made of it at another.

    Its temperature and its wire drop out, as they came in with the correction only.

    Args:
        corrected: From `winding_resistance`, leads off. [ohm]
        part_c: Temperature of the winding that it was corrected from. [°C]
        conductor: A key of CONDUCTORS, as it was corrected with.
        reference_c: Temperature that it was brought to. [°C]

    Source:
        GOST_22483, temperature factor.

    Example:
        >>> round(as_read(Estimate(96.22, "ohm"), part_c=30.0).value, 1)
        100.0
    """
    # The correction the other way round: from the reference to the winding's own temperature.
    back = resistance_at_reference(1.0, reference_c, per_c=CONDUCTORS[conductor].per_c, reference_c=part_c)
    rows = tuple(row for row in corrected.rows if not row.key.endswith("/part") and not _of_wire(row.key))
    return combine([(float(back), replace(corrected, rows=rows, quantiles=None, law=None))])


def _of_wire(key: str) -> bool:
    return key.startswith("conductor:")


def fits_copper(gap: Estimate, rise_k: float) -> tuple[Band, Judgement]:
    """Return what is allowed between warmth by resistance and by thermometer, and whether the gap fits copper.

    Args:
        gap: From `copper_gap`. [K]
        rise_k: How much warmer it was by the thermometer, above zero. [K]

    Raises:
        ValueError: It was no warmer.

    Source:
        JCGM_106, 7.

    Example:
        >>> [fits_copper(Estimate(gap_k, "K"), 40.0)[1].verdict.value for gap_k in (1.0, -15.0)]
        ['within limits', 'out of limits']
    """
    if not 0.0 < rise_k < math.inf:
        raise ValueError(
            f"the warm winding is {rise_k:g} K warmer than the cold one, and only warming shows what it is wound of. "
            "Warm it, and read its temperature again."
        )
    allowed = OTHER_THAN_COPPER * rise_k
    source = "ours: a fifth of the warming"
    band = Band(-allowed, allowed, gap.unit, None, source, Confidence(), width_ours=True)
    return band, judge(gap, band)
