"""A log's text as a table: what separates its cells, what its columns are called, and which are wanted."""

import csv
import re
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from knowngood.acts.fluids.log_cells import DEGREES, SECONDS, clock, is_gap, number, unit_in
from knowngood.refusal import Refused

# The standard library's own guess takes letters and decimal commas for separators; these are tried instead, and the
# one whose cells are best understood is taken, the earlier one when several are.
SEPARATORS = {"\t": "tabs", ";": "semicolons", "|": "bars", ",": "commas", " ": "spaces"}
TIME_WORDS = ("time", "timestamp", "zeit", "elapsed", "clock", "seconds", "sec", "secs", "minutes", "min", "t", "s")
WARM_WORDS = ("temp", "oil", "coolant", "fluid", "gearbox", "°c", "°f", "celsius", "fahrenheit")
# Columns that are temperatures and yet not the fluid's.
OTHER_WORDS = ("air", "ambient", "outside", "intake", "cabin")
# Ours: so many lines show what separates them; a longer line is no table's.
TRIED = 200
LONGEST = 5000
# Ours: of what was typed, so many characters are said again.
SHOWN = 40
# Ours: a reading each tenth of a second for more than five hours.
MOST_LINES = 200_000


@dataclass(frozen=True)
class Line:
    """One line of a log: where, and its cells."""

    number: int
    cells: tuple[str, ...]

    def cell(self, column: int) -> str:
        """What stands in a column; nothing where the line ends before it."""
        return self.cells[column].strip() if column < len(self.cells) else ""


@dataclass(frozen=True)
class Table:
    """A log as a table: names of its columns, its lines below them, and what separates cells."""

    names: tuple[str, ...]
    lines: tuple[Line, ...]
    separator: str
    named: bool


def table(text: str) -> Table:
    """Return a log as a table.

    Args:
        text: Of the file; a mark at its beginning and lines that begin with # count for nothing.

    Raises:
        Refused: Nothing in it, or no two columns.
    """
    numbered = [
        (at, line) for at, line in enumerate(text.removeprefix("\ufeff").splitlines(), start=1)
        if line.strip() and not line.lstrip().startswith("#")
    ]  # fmt: skip
    if not numbered:
        raise Refused({"": "the file holds no readings. Give one line for each: a time and a temperature."})
    if len(numbered) > MOST_LINES:
        raise Refused({"": f"the file has {len(numbered)} lines; {MOST_LINES} are read. Give the part that counts."})
    for at, line in numbered:
        if len(line) > LONGEST:
            raise Refused(
                {"": f"line {at} has {len(line)} characters; this is no log of temperatures. Give another file."}
            )
    best = max(SEPARATORS, key=lambda one: _understood(_split(numbered[-TRIED:], one)))
    lines = _split(numbered, best)
    if sum(len(line.cells) > 1 for line in lines) * 2 < len(lines):
        at, line = numbered[-1]
        raise Refused({
            "": f'line {at}: "{line.strip()[:40]}" is not a time and a temperature; each line needs both, '
            "between them a comma, semicolon, tab or space."
        })  # fmt: skip
    return _headed(lines, best)


def _split(numbered: Sequence[tuple[int, str]], separator: str) -> list[Line]:
    if separator == " ":
        return [Line(at, tuple(line.split())) for at, line in numbered]
    return [
        Line(at, tuple(cells)) for at, line in numbered
        for cells in csv.reader([line], delimiter=separator, skipinitialspace=True)
    ]  # fmt: skip


def _understood(lines: Sequence[Line]) -> float:
    """Share of the cells that are numbers or moments, among lines of two cells and more."""
    cells = [cell for line in lines if len(line.cells) > 1 for cell in line.cells if not is_gap(cell)]
    kept = sum(_is_value(cell) for cell in cells) / len(cells) if cells else 0.0
    return kept * sum(len(line.cells) > 1 for line in lines) / len(lines)


def _is_value(cell: str) -> bool:
    return number(cell) is not None or clock(cell) is not None


def _headed(lines: list[Line], separator: str) -> Table:
    """Set apart what stands above the first values: the last line of words names the columns, or units below it."""
    values = [sum(map(_is_value, line.cells)) for line in lines]
    first = next((at for at, count in enumerate(values) if count >= min(2, max(values))), 0)
    width = Counter(len(line.cells) for line in lines[first:]).most_common(1)[0][0]
    above = [line for line in lines[:first] if len(line.cells) > 1]
    units = _is_units(above[-1]) if len(above) > 1 else False
    headers = above[-2:] if units else above[-1:]
    count = max([width, *(len(line.cells) for line in headers)])
    if separator == " " and any(len(line.cells) != width for line in headers):
        headers, count = [], width  # names of several words cannot be told apart by spaces
    names = tuple(" ".join(filter(None, (line.cell(at) for line in headers))) for at in range(count))
    _refuse_wider(headers, lines[first:], separator)
    named = tuple(name or f"column {at}" for at, name in enumerate(names, start=1))
    # A logger that is switched on again writes its names again.
    again = {line.cells for line in headers}
    return Table(named, tuple(line for line in lines[first:] if line.cells not in again), separator, bool(headers))


def _is_units(line: Line) -> bool:
    words = [cell.strip().lower().strip("[]()") for cell in line.cells if cell.strip()]
    return bool(words) and all(word in SECONDS or word in DEGREES or len(word) <= 4 or "/" in word for word in words)


def _refuse_wider(headers: list[Line], lines: Sequence[Line], separator: str) -> None:
    """A comma that separates and is a decimal sign too makes lines wider than their header."""
    if not headers:
        return
    for line in lines:
        filled = len(line.cells) - next((at for at, cell in enumerate(reversed(line.cells)) if cell.strip()), 0)
        if filled > len(headers[0].cells):
            raise Refused({
                "": f"line {line.number}: {filled} values under {len(headers[0].cells)} names, separated by "
                f"{SEPARATORS[separator]}. If commas are decimal signs too, separate by semicolons."
            })  # fmt: skip


def column(of: Table, wanted: str, what: str) -> int:
    """Return where a named column stands, by its name or its number.

    Args:
        of: The log.
        wanted: Name in any case, or number from 1.
        what: The field that asked, "time" or "temperature".

    Raises:
        Refused: There is none, or several.
    """
    asked = wanted.strip().lower()
    found = [at for at, name in enumerate(of.names) if name.lower() == asked]
    found = found or [at for at, name in enumerate(of.names) if name.lower().startswith(asked)]
    found = found or [at for at in range(len(of.names)) if asked == str(at + 1)]
    if len(found) != 1:
        many = "no column" if not found else "several columns"
        raise Refused({what: f'{many} "{wanted[:SHOWN]}"; the file has {_list(of.names)}.'})
    return found[0]


def time_column(of: Table) -> int:
    """Return the column of times: by its name, else of clock times, else the first whose values only grow."""
    amounts = [at for at in range(len(of.names)) if _moments(of, at) and not _warm(of, at)]
    named = [at for at in amounts if _has_word(of.names[at], TIME_WORDS)]
    clocks = [at for at in amounts if _mostly(of, at, lambda cell: clock(cell) is not None)]
    grows = [at for at in named or clocks or amounts if _grows(of, at)]
    found = grows or named or clocks
    if not found:
        raise Refused({"time": f"no column of times is found among {_list(of.names)}. Name it."})
    return min(found, key=lambda at: of.names[at] == "T")  # beside another, that is a temperature


def temperature_column(of: Table, time: int) -> int:
    """Return the column of temperatures: by its name, else the only other one of numbers."""
    others = [at for at in range(len(of.names)) if at != time and _numbers(of, at)]
    named = [at for at in others if _warm(of, at)]
    fluids = [at for at in named if not _has_word(of.names[at], OTHER_WORDS)]
    found = fluids or named or others
    if len(found) != 1:
        names = _list([of.names[at] for at in found or range(len(of.names))])
        many = "several columns may be the temperature" if found else "no column of temperatures is found"
        raise Refused({"temperature": f"{many}: {names}. Name it."})
    return found[0]


def _moments(of: Table, at: int) -> bool:
    return _mostly(of, at, _is_value)


def _numbers(of: Table, at: int) -> bool:
    return _mostly(of, at, lambda cell: number(cell) is not None)


def _mostly(of: Table, at: int, fits: Callable[[str], bool]) -> bool:
    """Whether more than half of what a column holds fits; one odd cell is refused later, by its line."""
    cells = [line.cell(at) for line in of.lines if not is_gap(line.cell(at))]
    return bool(cells) and 2 * sum(map(fits, cells)) > len(cells)


def _grows(of: Table, at: int) -> bool:
    found = [_amount(line.cell(at)) for line in of.lines]
    values = [one for one in found if one is not None]
    steps = [later - earlier for earlier, later in pairwise(values)]
    # A clock that starts anew falls once; a temperature stands still or falls now and then.
    return bool(steps) and sum(step > 0.0 for step in steps) > 0.8 * len(steps)


def _amount(cell: str) -> float | None:
    value, moment = number(cell), clock(cell)
    return value.value if value else moment.seconds if moment else None


def _warm(of: Table, at: int) -> bool:
    """Whether a column says that it holds temperatures: in its name, or behind its first value."""
    if any(word in of.names[at].lower() for word in WARM_WORDS) or unit_in(of.names[at], DEGREES):
        return True
    first = next((found for line in of.lines if (found := number(line.cell(at)))), None)
    return first is not None and first.unit in DEGREES


def _has_word(name: str, words: Sequence[str]) -> bool:
    return not set(re.split(r"[^\w°]+|_", name.lower())).isdisjoint(words)


def _list(names: Sequence[str]) -> str:
    return ", ".join(f'"{name}"' for name in names)
