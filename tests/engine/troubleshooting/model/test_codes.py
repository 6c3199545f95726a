"""Trouble codes by their structure."""

import re
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from knowngood.engine.troubleshooting.model.codes import HEX, Area, Group, SetBy, Status, decode, status

STANDARD, MAKER, EITHER, RESERVED = SetBy.STANDARD, SetBy.MAKER, SetBy.EITHER, SetBy.RESERVED


@pytest.mark.published("ISO 15031-6 and SAE J2012, system groupings, as reprinted")
@pytest.mark.parametrize(
    ("letter", "area", "by_second"),
    [
        ("B", Area.BODY, (STANDARD, MAKER, MAKER, RESERVED)),
        ("C", Area.CHASSIS, (STANDARD, MAKER, MAKER, RESERVED)),
        ("P", Area.POWERTRAIN, (STANDARD, MAKER, STANDARD, None)),
        ("U", Area.NETWORK, (STANDARD, MAKER, MAKER, EITHER)),
    ],
)
def test_groupings(letter, area, by_second):
    for second, third in product(range(4), HEX):
        found = decode(f"{letter}{second}{third}42")
        assert found.area == area
        if by_second[second] is not None:
            assert found.set_by == by_second[second]


@pytest.mark.published("SAE J2012, from memory: P30 to P33 are the maker's, P34 to P39 the standard's")
def test_p3_is_split():
    assert {decode(f"P3{third}00").set_by for third in "0123"} == {MAKER}
    assert {decode(f"P3{third}00").set_by for third in "456789"} == {STANDARD}
    assert {decode(f"P3{third}00").set_by for third in "ABCDEF"} == {EITHER}


@pytest.mark.published("ISO 15031-6, powertrain groups by the third sign, as reprinted")
@pytest.mark.parametrize(
    ("thirds", "group"),
    [
        ("012", Group.FUEL_AIR), ("3", Group.IGNITION), ("4", Group.AUXILIARY), ("5", Group.SPEED_IDLE),
        ("6", Group.COMPUTER), ("789", Group.TRANSMISSION), ("ABC", Group.HYBRID), ("DEF", None),
    ],
)  # fmt: skip
def test_powertrain_groups(thirds, group):
    for third in thirds:
        assert decode(f"P0{third}17").group == group


def test_where_the_group_is_not_laid_down():
    assert (decode("P2A00").group, decode("P2A00").group_sure) == (None, False)
    assert decode("P3400").group is None
    assert decode("C0345").group is None
    assert (decode("P1300").group, decode("P1300").group_sure) == (Group.IGNITION, False)
    assert decode("P0300").group_sure


@given(st.sampled_from("PCBU"), st.sampled_from("0123"), st.text(HEX, min_size=3, max_size=3))
def test_every_code_is_read_however_it_is_typed(letter, second, rest):
    code = letter + second + rest
    assert decode(code).code == code
    assert decode(f" {code[:1].lower()} {code[1:].lower()}\n") == decode(code)
    assert decode(f"{code}-1a").failure_type == "1A"
    assert decode(code).failure_type is None


@given(st.text(max_size=7))
def test_anything_else_is_refused_in_words(typed):
    if re.fullmatch("[PCBU][0-3][0-9A-F]{3}(-[0-9A-F]{2})?", "".join(typed.upper().split())):
        assert decode(typed).code
    else:
        with pytest.raises(ValueError, match=r"sign|code"):
            decode(typed)


@pytest.mark.parametrize(
    ("typed", "message"),
    [
        ("", "no code is written; write it as the tool shows it, such as P0300."),
        ("P0X71", "P0X71: the third sign is X; it is 0 to 9 or A to F. Read it once more from the tool."),
        ("po300", "PO300: the second sign is O; it is 0, 1, 2 or 3. Did you mean P0300?"),
        ("P03I0", "P03I0: the fourth sign is I; it is 0 to 9 or A to F. Did you mean P0310?"),
        ("P0L10", "P0L10: the third sign is L; it is 0 to 9 or A to F. Did you mean P0110?"),
        ("P4300", "P4300: the second sign is 4; it is 0, 1, 2 or 3. Read it once more from the tool."),
        ("X0300", "X0300: the first sign is X; a code begins with P, C, B or U. Read it once more from the tool."),
        ("P030", "P030: 4 signs; a code has five, a letter and four more. Read it once more from the tool."),
        ("P03000", "P03000: 6 signs; a code has five, a letter and four more. Read it once more from the tool."),
        ("P0300-1", 'P0300-1: after the dash stands "1"; two signs of 0 to 9 or A to F belong there. '
                    "Leave the dash out when the tool shows none."),
    ],
)  # fmt: skip
def test_refusals(typed, message):
    with pytest.raises(ValueError, match=f"^{re.escape(message)}$"):
        decode(typed)


def test_status():
    assert [status(word.upper()) for word in ("pending", "confirmed", "permanent")] == list(Status)
    assert all(one.says for one in Status)


def test_no_status():
    with pytest.raises(ValueError, match=r'^"stored" is no status of a code; write pending, confirmed, permanent\.$'):
        status("stored")
