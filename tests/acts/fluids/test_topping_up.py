"""Topping up over the years: use by hand, the manual's limit, when to look again, and what is refused."""

import pytest
from tests.acts.fluid_jobs import VEHICLE, with_circuit

from knowngood.acts.fluids.topping_up import topped
from knowngood.refusal import Refused


@pytest.fixture
def kept(tmp_path):
    return with_circuit(tmp_path, '{name: "Engine", fluid: engine oil, holds: "5 L", refill: fill}')


def fill(kept, amount, odometer, **more):
    return kept.add("topped_up", VEHICLE, amount=amount, odometer=odometer, **more)


def words(kept):
    return [one.words for one in topped(kept.vehicle)]


@pytest.mark.published(
    "0.6 + 0.6 L over 6000 km are 0.2 L per 1000 km, worked by hand; the first filling was used before"
)
def test_use_follows_from_the_first_level_to_the_last(kept):
    for amount, odometer in (("0.5", "50000"), ("0.6", "53000"), ("0.6", "56000")):
        fill(kept, amount, odometer)
    assert topped(kept.vehicle)[0].use.per_1000_km.value == pytest.approx(0.2)
    assert words(kept)[0].startswith("0.20 ± 0.07 L per 1000 km, from 3 entries over 6 000 km. Look at the level at")


def test_one_entry_says_nothing_yet(kept):
    fill(kept, "0.5 L", "50000 km")
    assert words(kept) == ["Use follows from two levels at least; found: 1. Write the level again later."]


@pytest.mark.parametrize(
    ("most", "says"),
    [
        ("0.5", "Within the manual's 0.5 L (more than 99 %)."),
        ("max 0.1 L per 1000 km", "More than the manual's 0.1 L (more than 99 %): look for a leak"),
        ("0.21", "Can't tell yet, leans within the manual's 0.21 L"),
    ],
)
def test_the_manuals_limit_is_judged_when_it_was_typed(kept, most, says):
    for amount, odometer in (("0.5", "50000"), ("0.6", "53000"), ("0.6", "56000")):
        fill(kept, amount, odometer, most=most if odometer == "53000" else "")
    assert says in words(kept)[0]


def test_a_level_written_at_both_ends_counts(kept):
    fill(kept, "0", "50000", below="0.2", marks="1")
    fill(kept, "0", "54000", below="0.6")
    # .4 L in 4000 km, and .4 L of room are left.
    assert topped(kept.vehicle)[0].use.per_1000_km.value == pytest.approx(0.1)


@pytest.mark.published("half of 1 L between the marks over 4000 km, and half of it is left, worked by hand")
def test_a_level_seen_between_the_marks_is_a_share_of_what_fits_there(kept):
    fill(kept, "0", "50000", below="0 %", marks="1")
    fill(kept, "0", "54000", below="50 %")
    assert topped(kept.vehicle)[0].use.per_1000_km.value == pytest.approx(0.5 / 4.0)
    # .5 L of room at .125 L per 1000 km are 4000 km; to look before that.
    assert "Look at the level at" in words(kept)[0]


def test_marks_that_nobody_wrote_leave_more_doubt(kept):
    for odometer, below in (("50000", "0 %"), ("54000", "50 %")):
        fill(kept, "0", odometer, below=below)
    guessed = topped(kept.vehicle)[0].use.per_1000_km
    fill(kept, "0", "49000", marks="1")
    assert topped(kept.vehicle)[0].use is None  # the first level was not looked at
    assert "marks" in {row.key for row in guessed.rows}


def test_a_share_needs_marks_where_none_are_usual(kept):
    with pytest.raises(Refused) as refused:
        fill(kept, "0.1", "50000", fluid="coolant", below="50 %")
    assert refused.value.problems == {
        "marks": "How far below the mark is a share of the way between the two marks. Write how much fits between "
        "them, such as 0.3 L."
    }
    first = fill(kept, "0.1", "50000", fluid="coolant", below="50 %", marks="0.4")[0]
    fill(kept, "0.1", "60000", fluid="coolant", below="50 %")
    assert topped(kept.vehicle)[0].use.per_1000_km.value == pytest.approx(0.01)
    kept.add("withdrawn", VEHICLE, event=first.id)
    assert words(kept)[0].endswith("Write that at the next entry.")


def test_the_room_left_says_when_to_look_again(kept):
    fill(kept, "0.5", "50000", marks="1 L")
    fill(kept, "1.0", "54000")
    # 1 L of room at .25 L per 1000 km are 4000 km; to look before that.
    after = int(words(kept)[0].split("Look at the level at ")[1].split(" km")[0].replace(" ", "")) - 54000
    assert 2000 <= after < 4000


def test_brake_fluid_is_not_used_up(kept):
    fill(kept, "0.1", "50000", fluid="brake fluid")
    fill(kept, "0.1", "60000", fluid="brake fluid")
    assert "Brake fluid is not used up" in words(kept)[0]
    assert "Look at the level at" not in words(kept)[0]


def test_each_fluid_is_told_apart_and_an_entry_can_be_taken_back(kept):
    fill(kept, "0.5", "50000")
    event = fill(kept, "0.2", "50000", fluid="coolant")[0]
    assert [one.fluid for one in topped(kept.vehicle)] == ["engine oil", "coolant"]
    kept.add("withdrawn", VEHICLE, event=event.id)
    assert [one.fluid for one in topped(kept.vehicle)] == ["engine oil"]


def test_an_odometer_may_have_its_thousands_apart(kept):
    assert fill(kept, "0.5", "148 300")[0].data["km"] == fill(kept, "0.5", "149'300 km")[0].data["km"] - 1000.0


def test_the_day_is_todays_unless_another_was_typed(kept):
    assert fill(kept, "0.5", "50000")[0].data["date"] == "2026-11-21"
    assert fill(kept, "0.5", "51000", date="2025-01-31")[0].data["date"] == "2025-01-31"


@pytest.mark.parametrize(
    ("typed", "problems"),
    [
        ({"amount": ""}, {"amount": "Nothing is written here. Write how much went in, such as 0.5 L; 0 when you only "
                          "looked."}),
        ({"amount": "50 L"}, {"amount": '"50 L" is no top-up. Write from 0 to 20 L, such as 0.5 L.'}),
        ({"odometer": "9000000"}, {"odometer": '"9000000 km" is no odometer. Write what it shows, such as 148300.'}),
        ({"most": "0"}, {"most": '"0" is no use per 1000 km. Write litres above zero, such as 0.5.'}),
        ({"below": "300 %"}, {"below": '"300 %" is no level. Write 0 % at the upper mark, 100 % at the lower one.'}),
        ({"date": "yesterday"}, {"date": '"yesterday" is not a day. Write it as year-month-day, such as 2026-11-21.'}),
        ({"fluid": "fuel"}, {"fluid": '"fuel" is nothing that is topped up. Take engine oil, coolant, brake fluid, '
                             "steering fluid, gearbox oil, gear oil."}),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_at_its_field(kept, typed, problems):
    with pytest.raises(Refused) as refused:
        fill(kept, **{"amount": "0.5", "odometer": "50000", **typed})
    assert refused.value.problems == problems


def test_one_odometer_twice_is_refused(kept):
    fill(kept, "0.5", "50000")
    with pytest.raises(Refused, match=r"already\. Put them together, or check the odometer"):
        fill(kept, "0.5", "50000")
