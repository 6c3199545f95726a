"""Answers of the manual: what a limit's quantity says of them, and that they are kept in plain digits."""

import pytest

from knowngood.checks.answers import plain_answer, read_answer
from knowngood.sheet.model import AskFor
from knowngood.sheet.reader import read
from knowngood.units import UnitsError

SHEET = read(
    """
sheet: 1
id: x
title: X
asks:
  disc: {question: "Least thickness", answer: limits, like: "min 22 mm"}
  least: {question: "Least compression", answer: limits, like: "min 900 kPa"}
  coil: {question: "Its resistance", answer: limits, like: "80..95 ohm"}
  page: {question: "Where it stands", answer: words, like: "page 12"}
limits:
  disc: {name: Disc, quantity: disc_thickness, band: {ask: disc}}
  least: {name: Compression, quantity: cylinder_compression, band: {ask: least}}
  coil: {name: Coil, band: {ask: coil}}
steps:
  - {id: a, do: look, zone: top, time: "1 2 3 min"}
""",
    file="x.yaml",
).sheet


@pytest.mark.parametrize(
    ("ask", "typed", "plain"),
    [
        ("disc", "min 21,985 mm", "min 21.985 mm"),
        ("coil", "9,500–13,250.5 ohm", "9500–13250.5 ohm"),
        ("page", "page 1,000", "page 1,000"),
    ],
)
def test_kept_in_plain_digits_that_are_read_alike(ask, typed, plain):
    assert plain_answer(SHEET, ask, typed) == plain
    assert read_answer(plain, SHEET.asks[ask].answer) is not None


@pytest.mark.parametrize(
    ("ask", "typed", "words"),
    [
        ("least", "min 1,000 kPa", 'Write "min 1000 kPa" or "min 1.000 kPa"'),
        ("least", "min 1 kPa", "a compression lies from 10 to 8000 kPa"),
        ("coil", "9,500–13,500 ohm", 'Write "9500–13500 ohm" or "9.500–13.500 ohm"'),
        ("coil", "80..1e12 ohm", "no instrument at home goes further"),
    ],
)
def test_refused_in_words(ask, typed, words):
    with pytest.raises(UnitsError) as refused:
        plain_answer(SHEET, ask, typed)
    assert words in str(refused.value)


def test_an_answer_kept_before_thousands_were_asked_about_is_asked_again():
    assert read_answer("min 1,000 kPa", AskFor.LIMITS) is None
