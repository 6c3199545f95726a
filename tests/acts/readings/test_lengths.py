"""Every typed field has a length, and what is longer is refused in words at it; nothing is kept."""

import pytest
from tests.garages import giving, opened
from tests.refusing import refused

from knowngood.acts.readings.judging import judge_typed
from knowngood.acts.readings.lengths import longest


@pytest.fixture
def give(tmp_path):
    with opened(tmp_path / "garage") as garage:
        yield giving(garage)


@pytest.mark.parametrize(
    ("kind", "fields", "name"),
    [
        ("instrument_added", {"name": "blue", "line": "9" * 4000}, "line"),
        ("reading_judged", {"limits": "80..95 ohm", "read": "90 ohm", "meter": "9" * 4000}, "meter"),
        ("reading_judged", {"limits": "80..95 ohm", "read": "9" * 4000}, "read"),
        ("tool_added", {"name": "a" * 4000}, "name"),
        ("noted", {"text": "a" * 30_000}, "text"),
        ("noted", {"nothing that is asked": "a" * 30_000, "text": "a"}, "nothing that is asked"),
    ],
)
def test_what_is_longer_than_its_field_is_refused_there(give, kind, fields, name):
    has, fit = (f"{one:,}".replace(",", " ") for one in (len(fields[name]), longest(name)))
    assert refused(give, kind, **fields) == {name: f"This has {has} characters; {fit} fit here. Shorten it."}


def test_a_long_note_is_kept(give):
    assert give("noted", text="a line of it\n" * 1000)


def test_the_terminal_has_the_same_lengths():
    typed = {"limits": "80..95 ohm", "read": "90 ohm", "meter": "9" * 400}
    assert set(refused(judge_typed, typed, reading_id="x")) == {"meter"}
