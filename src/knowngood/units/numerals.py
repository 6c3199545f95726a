"""Numbers as people write them: which comma or point is the decimal one, and which only sets thousands apart.

A comma before exactly three digits can be either: "1,000" is a thousand to one and one to another. It is never
guessed. Another number of the same field decides ("1,000.5", "1,000 12.5", "22,15 1,250"), a zero before it does
("0,500"), and so does a thousand that cannot be at all (no brake disc has 21 985 mm); what is left is asked about.
A point before three digits is the decimal one ("21.985", as every display and micrometer writes it), unless the
field shows that points set thousands apart ("1.000,5"), or nobody writes thousandths of it (kilometres, money).
"""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from unicodedata import decimal

from knowngood.units.table import UnitsError

# Says of a value in the unit inside that it cannot be, however wide one thinks.
Beyond = Callable[[float], bool]

# Every mark between digits belongs to the number, so that none of it is lost; `decide` says what the marks are.
NUMBER = r"[-+]?(?:\d+(?:[.,]\d+)*|(?<![.,])[.,]\d+)(?:[eE][-+]?\d+)?"
UNSIGNED = NUMBER.removeprefix("[-+]?")
OPEN = re.compile(r"[-+]?[1-9]\d{0,2}([.,])\d{3}")
ONE_MARK = re.compile(r"[-+]?\d*([.,])\d+(?:[eE][-+]?\d+)?")
IN_GROUPS = re.compile(r"[-+]?[1-9]\d{0,2}(?:(,)\d{3}(?:,\d{3})*(?:\.\d+)?|(\.)\d{3}(?:\.\d{3})*(?:,\d+)?)")
# Thousands set apart by a space or an apostrophe; what stands behind a decimal mark is no group.
THOUSANDS = re.compile(r"(?<![\d.,])[1-9]\d{0,2}(?:(?: \d{3})+|(?:['’]\d{3})+)(?!\d)")
APOSTROPHES = re.compile(r"(?<![\d.,])[1-9]\d{0,2}(?:['’]\d{3})+(?!\d)")
THIN_SPACE = re.compile("(?<=\\d)[\u202f\u2009](?=\\d{3}(?!\\d))")
BEGINS_WITH_ZERO = re.compile(r" 0\d\d")
LEADER_DOTS = re.compile(r"(?:[.…] ?[.…] ?|… ?)$")
# Ours: readings of one thing are rarely so many times apart; a number and its thousands are.
TIMES_APART = 10.0
# What is written in more than one way; a digit that belongs to a unit is no number.
SAME = (
    ("\u2212", "-"), ("\u00a0", " "), ("\u202f", " "), ("\u2009", " "), ("⋅", "·"), ("m3", "m³"), ("/in2", "/in²"),
    ("H2O", "H₂O"), ("h2o", "H₂O"),
)  # fmt: skip


class Undecided(UnitsError):
    """What was written can be read in two ways; the text names both."""


@dataclass(frozen=True)
class Numeral:
    """A number as it was written, and in plain digits with a point."""

    written: str
    plain: str

    @property
    def places(self) -> int:
        """How many decimal places were written."""
        return len(self.plain.lower().partition("e")[0].partition(".")[2])

    @property
    def taken(self) -> bool:
        """Could it have been read in another way?"""
        return OPEN.fullmatch(self.written) is not None and "," in self.written


def clean(text: str) -> str:
    """Return what was typed with one spelling for each sign and digit, and single spaces.

    Example:
        >>> clean("１,000  km")
        '1,000 km'
    """
    for found, instead in SAME:
        text = text.replace(found, instead)
    if not text.isascii():
        text = "".join(str(decimal(one, one)) for one in text)
    return " ".join(text.split())


def grouped(text: str) -> str:
    """Return what was typed with the thousands of a number in one; only for where no second number may follow.

    Example:
        >>> grouped("148 300 km"), grouped("1'250,5"), grouped("12 5")
        ('148300 km', '1250,5', '12 5')
    """
    return THOUSANDS.sub(_joined, clean(text))


def closed_up(text: str) -> str:
    """Return what was typed without what stands in a number and nowhere else: apostrophes and thin spaces."""
    return clean(APOSTROPHES.sub(_joined, THIN_SPACE.sub("", text)))


def grouped_readings(text: str, beyond: Callable[[float], bool]) -> str:
    """Return several readings with the thousands of each in one; a plain space between them sets readings apart.

    Args:
        text: As typed.
        beyond: Says that no such reading can be, in the unit written.

    Raises:
        Undecided: A number with its thousands, or several.

    Example:
        >>> [grouped_readings(one, lambda value: False) for one in ("1 050 1 120 kPa", "98 101 ohm")]
        ['1050 1120 kPa', '98 101 ohm']
    """
    text = clean(text)
    rows = [match[0] for match in THOUSANDS.finditer(text)]
    zeros = any(BEGINS_WITH_ZERO.search(row) for row in rows)
    far = any(float(max(row.split(), key=float)) >= TIMES_APART * float(row.split()[0]) for row in rows)
    too_large = any(beyond(float(row.replace(" ", ""))) for row in rows)
    if not (zeros or far) or (far and too_large and not zeros):
        return text
    whole = THOUSANDS.sub(_joined, text)
    if zeros and not too_large:
        return whole
    several = THOUSANDS.sub(lambda match: match[0].replace(" ", ", "), text)
    raise Undecided(f'"{text}" may be thousands or several readings. Write "{whole}" or "{several}".')


def numerals(text: str) -> list[str]:
    """Return the numbers as written; a comma or a semicolon before a space only separates."""
    return re.findall(NUMBER, re.sub(r"[,;](?=\s|$)", " ", clean(text)))


def refuse_leader_dots(text: str) -> None:
    """Refuse a number behind the dots that lead to it in a table: the last one may be its decimal point.

    Raises:
        Undecided: With both readings.
    """
    number = re.search(r"[.,]?\d", text)
    if number is None or not LEADER_DOTS.search(text[: number.end() - 1]):
        return
    digits = text[number.end() - 1 :]
    raise Undecided(f'"{text}" has dots before its number. Write "{digits}" or "0.{digits}".')


def decide(
    written: Sequence[str], shown: str, *, beyond: Callable[[float], bool], points_too: bool = False
) -> list[Numeral]:
    """Return the numbers of one field in plain digits.

    Args:
        written: As they were written.
        shown: The whole field as typed.
        beyond: Says that no such number can be, in the unit written.
        points_too: Of what is measured here nobody writes thousandths, so a point before three digits is asked about.

    Raises:
        Undecided: Thousands or a fraction; both are named.
        UnitsError: Marks that are neither.

    Example:
        >>> [one.plain for one in decide(["1,000", "1,250.5"], "", beyond=lambda value: False)]
        ['1000', '1250.5']
    """
    known = {mark for one in written if (mark := _decimal_mark(one, shown))}
    groups = {match[1] or match[2] for one in written if (match := _in_groups(one))}
    marks = {match[1] for one in written if (match := OPEN.fullmatch(one))}
    unsure = {mark: _sets_apart(mark, known, groups, points_too) for mark in sorted(marks)}
    for mark in [mark for mark, thousands in unsure.items() if thousands is not False and mark not in groups]:
        if any(beyond(float(one.replace(mark, ""))) for one in written if _is_open(one, mark)):
            unsure[mark] = False
        elif unsure[mark] is None:
            raise _undecided(shown, mark, points_too)
    return [Numeral(one, _plain(one, unsure)) for one in written]


def _sets_apart(mark: str, known: set[str], groups: set[str], points_too: bool) -> bool | None:
    """Does this mark set thousands apart where it could be the decimal one? None when nothing in the field says so."""
    other = "." if mark == "," else ","
    if mark in groups and mark not in known:
        return True
    if known == {mark}:
        return False
    if mark == ".":
        return None if points_too or known == {other} else False
    return True if known == {other} else None


def _in_groups(numeral: str) -> re.Match[str] | None:
    return None if ONE_MARK.fullmatch(numeral) else IN_GROUPS.fullmatch(numeral)


def _is_open(numeral: str, mark: str) -> bool:
    match = OPEN.fullmatch(numeral)
    return match is not None and match[1] == mark


def _decimal_mark(numeral: str, shown: str) -> str:
    """The decimal mark that a number shows; "" when it shows none.

    Raises:
        UnitsError: It has marks that neither set thousands apart nor begin a fraction.
    """
    if OPEN.fullmatch(numeral) or not re.search("[.,]", numeral):
        return ""
    if match := ONE_MARK.fullmatch(numeral):
        return match[1]
    if match := IN_GROUPS.fullmatch(numeral):
        return "." if match[1] else ","
    raise UnitsError(
        f'"{shown}" has two separators in one number. Write thousands without one, such as "148300 km", and several '
        "numbers with a space between."
    )


def _plain(numeral: str, thousands: dict[str, bool | None]) -> str:
    if match := OPEN.fullmatch(numeral):
        return numeral.replace(match[1], "" if thousands[match[1]] else ".")
    if match := _in_groups(numeral):
        group = match[1] or match[2]
        return numeral.replace(group, "").replace(",", ".")
    return numeral.replace(",", ".")


def _undecided(shown: str, mark: str, points_too: bool) -> Undecided:
    def written(whole: bool) -> str:
        def instead(match: re.Match[str]) -> str:
            if not _is_open(match[0], mark):
                return match[0]
            return match[0].replace(mark, "") if whole else _fraction(match[0].replace(mark, "."), points_too)

        return re.sub(NUMBER, instead, clean(shown))

    return Undecided(f'"{shown}" may mean thousands or a fraction. Write "{written(True)}" or "{written(False)}".')


def _fraction(plain: str, points_too: bool) -> str:
    """A fraction that is not asked about again: where three places are, it has another number of them."""
    if not points_too:
        return plain
    shorter = plain.rstrip("0")
    return shorter + "0" if shorter.endswith(".") or len(shorter.partition(".")[2]) == 3 else shorter


def _joined(match: re.Match[str]) -> str:
    return re.sub(r"\D", "", match[0])
