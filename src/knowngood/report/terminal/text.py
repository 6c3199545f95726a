"""The picture of a judgement in plain characters, for a terminal: hump, strip and numbers, a line each."""

import numpy as np

from knowngood import units
from knowngood.report.pictures.hump import Hump
from knowngood.report.pictures.picture import Picture
from knowngood.report.pictures.ruler import Ruler, stretch

COLUMNS = 72
BLOCKS = " ▁▂▃▄▅▆▇█"
ALLOWED, NOT_ALLOWED, AS_READ = "▒", "·", "▽"


def picture(view: Picture, *, columns: int = COLUMNS) -> list[str]:
    """Return the hump, the strip of what is allowed with the reading as it was, and the numbers under them.

    Example:
        >>> for line in picture(Picture(90.7, 0.89, "coil", "", lower=80.0, upper=95.0, raw=101.1), columns=40)[1:]:
        ...     print(line)
        ····▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒········▽····
           80                    95
                                   as read 101.1
    """
    ruler = _ruler(view, columns)
    hump = [" "] * columns
    for column, height in _heights(view, ruler, columns):
        hump[column] = BLOCKS[round(8.0 * height)]
    strip = [ALLOWED if _allowed(view, ruler, column) else NOT_ALLOWED for column in range(columns)]
    labels = _limits(view, ruler)
    if view.raw is not None:
        strip[_column(ruler, view.raw)] = AS_READ
        beyond = "" if ruler.low <= view.raw <= ruler.high else ", off the ruler"
        labels.append((_column(ruler, view.raw), units.signed(f"as read {view.raw:.{view.decimals}f}") + beyond))
    return ["".join(hump).rstrip(), "".join(strip), *_labels(labels, columns)]


def _ruler(view: Picture, columns: int) -> Ruler:
    limits = [end for end in (view.lower, view.upper) if end is not None]
    known = _hump(view).ends() if view.standard_uncertainty > 0.0 else ()
    low, high = stretch([*limits, view.value, *known], wanted=view.raw)
    return Ruler(low, high, 0.0, columns - 1.0)


def _hump(view: Picture) -> Hump:
    return Hump(view.value, view.standard_uncertainty, view.degrees_of_freedom, view.quantiles)


def _column(ruler: Ruler, number: float) -> int:
    return round(ruler.x(number))


def _allowed(view: Picture, ruler: Ruler, column: int) -> bool:
    left = 0 if view.lower is None else _column(ruler, view.lower)
    return column >= left and (view.upper is None or column <= _column(ruler, view.upper))


def _heights(view: Picture, ruler: Ruler, columns: int) -> list[tuple[int, float]]:
    """Columns in which the hump can be seen, and its height there from 0 to 1."""
    if view.standard_uncertainty * ruler.px_per_unit < 0.4:
        return [(_column(ruler, view.value), 1.0)]
    heights = _hump(view).heights(ruler.low + np.arange(columns) / ruler.px_per_unit)
    return [(column, float(one)) for column, one in enumerate(heights / np.max(heights))]


def _limits(view: Picture, ruler: Ruler) -> list[tuple[int, str]]:
    """The limits and their columns; two that would touch are written as one range."""
    ends = [(_column(ruler, end), units.signed(f"{end:.6g}")) for end in (view.lower, view.upper) if end is not None]
    if len(ends) == 2 and ends[1][0] - ends[0][0] <= 1 + max(len(text) for _, text in ends):
        return [((ends[0][0] + ends[1][0]) // 2, units.between(ends[0][1], ends[1][1]))]
    return ends


def _labels(labels: list[tuple[int, str]], columns: int) -> list[str]:
    """The numbers centred under their places; one that would touch another goes a line lower."""
    lines: list[str] = []
    for column, text in labels:
        start = max(0, min(column - len(text) // 2, columns - len(text)))
        free = (number for number, line in enumerate(lines) if len(line) < start)
        number = next(free, len(lines))
        if number == len(lines):
            lines.append("")
        lines[number] = lines[number].ljust(start) + text
    return lines
