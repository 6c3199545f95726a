"""The documents that numbers and formulas come from, each registered once under the key that docstrings name."""

from dataclasses import dataclass
from typing import Literal

HowRead = Literal["read", "repo", "run", "memory"]


@dataclass(frozen=True)
class Source:
    """One document.

    `how_read` is honest about us: "read" the document or a copy of the table, "repo" its values in a public
    repository, "run" computed by independent libraries, "memory" none of these.
    """

    key: str
    title: str
    edition: str
    place: str
    how_read: HowRead


SOURCES: dict[str, Source] = {
    source.key: source
    for source in (
        Source("GUM", "Guide to the expression of uncertainty in measurement", "JCGM 100:2008", "BIPM", "repo"),
        Source("JCGM_101", "Propagation of distributions using a Monte Carlo method", "2008", "BIPM", "repo"),
        Source("JCGM_106", "The role of measurement uncertainty in conformity assessment", "2012", "BIPM", "memory"),
        Source("ISO_14253_1", "Decision rules for verifying conformity with specifications", "", "ISO", "memory"),
        Source("GOST_22483", "Conductors of cables, which adopts IEC 60228", "2021", "GOST, annex", "read"),
        Source("NIST_SP_811", "Guide for the use of the International System of Units", "2008", "NIST", "memory"),
        Source("ISO_6789", "Hand torque tools", "", "ISO, as reprinted", "read"),
        Source("AS_26_7", "Abramowitz and Stegun, Handbook of mathematical functions", "1964", "26.7", "memory"),
        Source("WILLINK_2007", "Willink, on the uncertainty of the mean of digitized measurements", "2007",
               "as coded in a public library", "repo"),
    )
}  # fmt: skip
