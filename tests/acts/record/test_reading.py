"""How far a part's temperature may be off has a field of its own; both ways of writing it mean the same."""

import pytest
from tests.refusing import refused

from knowngood.acts.record.entries import Entry
from knowngood.acts.record.reading import reading_data

TYPED = {"limits": "80..95 ohm", "at": "20 °C", "read": "101.1", "conductor": "copper"}


def part_of(garage, **fields):
    entry = Entry("1" * 32, "toolbox", "reading_judged", {**TYPED, **fields})
    return reading_data(garage, entry, limit=None)["typed"]["part"]


@pytest.mark.parametrize(
    ("part", "give", "both"),
    [
        ("48", "4", "48 ± 4 °C"),
        ("48 ± 4", "", "48 ± 4 °C"),
        ("48 °C", "4 °C", "48 °C ± 4 °C"),
        ("118 °F", "7", "118 °F ± 7"),
        ("-5", "2,5", "-5 ± 2,5 °C"),
        ("48", "", "48 °C"),
        ("", "", ""),
    ],
)
def test_both_fields_are_one_temperature(garage, part, give, both):
    assert part_of(garage, part=part, part_give=give) == both


NOT_SAID = " does not say how far the part may be off. Write one number above zero, such as 4."


@pytest.mark.parametrize(
    ("part", "give", "field", "words"),
    [
        ("48 ± 4", "4", "part_give", '"48 ± 4" says already how far it may be off. Empty this field.'),
        ("", "4", "part", 'Nothing is written here, but "4" beside it. Write the temperature too, such as 48.'),
        ("48", "-4", "part_give", f'"-4"{NOT_SAID}'),
        ("48", "0", "part_give", f'"0"{NOT_SAID}'),
        ("48", "4 K", "part_give", f'"4 K"{NOT_SAID}'),
        ("48", "some", "part_give", f'"some"{NOT_SAID}'),
        ("48 49", "4", "part", '"48 49" holds 2 numbers; one belongs here, such as "41 °C".'),
    ],
)
def test_what_does_not_fit_together_is_told_at_its_field(garage, part, give, field, words):
    assert refused(part_of, garage, part=part, part_give=give) == {field: words}
