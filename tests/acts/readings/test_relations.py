"""Two kept readings beside each other: what one meter cancels, what nobody said, and the sentence."""

import json

import pytest
from tests.refusing import refused

from knowngood.acts.readings.judging import event_data, judge_typed
from knowngood.acts.readings.relations import (
    NOT_SAID,
    ONE_METER,
    TWO_METERS,
    As,
    compare,
    compared_words,
    own_errors,
    pairs,
)
from knowngood.store.event import Event

BLUE, GREY = "1 % + 1 digits, 0.01 ohm", "1.0 % + 1 digits, 0.01 ohm"
COIL = {"limits": "1..100 ohm", "conductor": "copper", "part": "20 ± 0.1 °C", "zero": "0.2 ohm", "meter": BLUE}
NUMBERS = iter(range(10**6))


def kept(name, **typed):
    """Data of an event, after its way through JSON."""
    found = judge_typed({**COIL, **typed}, reading_id=f"{next(NUMBERS)}", name=name)
    return json.loads(json.dumps(event_data(found)))


def volts(name, read, meter="0.5 % + 1 digits, 0.01 V"):
    found = judge_typed({"limits": "min 1 V", "read": read, "meter": meter}, reading_id=f"{next(NUMBERS)}", name=name)
    return json.loads(json.dumps(event_data(found)))


def test_left_against_right_by_one_meter():
    found = compare(kept("left coil", read="14.00 ohm"), kept("right coil", read="13.20 ohm"), as_="difference")
    assert (found.as_, found.one_meter, found.differs) == (As.DIFFERENCE, True, True)
    assert "percent of the meter" in found.cancelled
    assert found.estimate.value == pytest.approx(0.8)
    assert found.value == "0.80 ± 0.06 ohm"
    assert found.sentence == f"Left coil reads 0.80 ohm more than right coil, ± 0.06: they differ. {ONE_METER}"


def test_by_two_meters_it_does_not_show():
    two = kept("left coil", read="14.00 ohm"), kept("right coil", read="13.90 ohm", meter=GREY)
    found = compare(*two, as_=As.DIFFERENCE)
    assert (found.one_meter, found.differs) == (False, False)
    assert "percent of the meter" not in found.cancelled
    assert found.sentence == (f"Left coil reads 0.1 ohm more than right coil, ± 0.2: no difference shows. {TWO_METERS}")


def test_two_readings_of_which_nobody_named_the_meter_do_not_cancel():
    """The wide typical meter of both has one name, but nobody said that it is one."""
    two = kept("left coil", read="14.00 ohm", meter=""), kept("right coil", read="13.90 ohm", meter="")
    found = compare(*two, as_="difference")
    keys = [{row.key for row in own_errors(data, mark).rows} for data, mark in zip(two, ("a", "b"), strict=True)]
    assert not any("gain" in key for key in keys[0] & keys[1])
    assert (found.one_meter, found.cancelled) == (False, ())
    assert found.sentence.endswith(NOT_SAID)


def test_assumed_leads_are_the_same_for_one_named_meter_alone():
    one_meter = compare(
        kept("left coil", read="14.00 ohm", zero=""), kept("right coil", read="13.90 ohm", zero=""), as_="difference"
    )
    two_meters = compare(
        kept("left coil", read="14.00 ohm", zero=""), kept("right coil", read="13.90 ohm", zero="", meter=GREY),
        as_="difference",
    )  # fmt: skip
    assert "test leads" in one_meter.cancelled
    assert "test leads" not in two_meters.cancelled
    assert two_meters.estimate.standard_uncertainty > 3 * one_meter.estimate.standard_uncertainty


def test_a_share_by_one_meter():
    found = compare(volts("left lamp", "11.00 V"), volts("right lamp", "12.50 V"), as_="ratio")
    assert found.estimate.value == pytest.approx(88.0)
    assert found.sentence == f"Left lamp reads 88.0 % of right lamp, ± 0.4: they differ. {ONE_METER}"
    assert found.value == "88.0 ± 0.4 %"


def test_before_and_after():
    before, after = volts("battery", "12.20 V"), volts("battery", "12.65 V")
    found = compare(before, after, as_="change")
    assert found.estimate.value == pytest.approx(0.45)
    assert found.sentence == f"It reads 0.45 V more than before, ± 0.03: it changed. {ONE_METER}"
    back = compare(after, before, as_="change")
    assert back.sentence == f"It reads 0.45 V less than before, ± 0.03: it changed. {ONE_METER}"


def test_it_is_told_in_the_unit_that_was_written():
    first = kept("left coil", read="14000 mΩ", limits="1000..100000 mΩ", zero="200 mΩ", meter="")
    found = compare(first, kept("right coil", read="13.20 ohm"), as_="difference")
    assert found.estimate.value == pytest.approx(0.8)
    assert found.value.endswith("mΩ")
    assert found.value.startswith("8")


def test_readings_of_one_name_are_the_first_and_the_second():
    found = compare(volts("battery", "12.20 V"), volts("battery", "12.65 V"), as_="difference")
    assert found.sentence.startswith("The first reads 0.45 V less than the second, ± 0.03: they differ.")


REFUSED = {
    "kinds": (lambda: (kept("left coil", read="14.00 ohm"), volts("battery", "12.2 V")), "difference",
              {"": "Left coil is a resistance, battery a voltage: the two cannot be compared. "
                   "Take two readings of one kind."}),
    "ways": (lambda: (volts("battery", "12.2 V"), volts("battery", "12.2 V")), "product",
             {"as": '"product" is no way to compare two readings. Take one of difference, ratio, change, copper.'}),
}  # fmt: skip


@pytest.mark.parametrize(("two", "as_", "problems"), REFUSED.values(), ids=REFUSED)
def test_refused(two, as_, problems):
    assert refused(compare, *two(), as_=as_) == problems


def warm(name, read):
    found = judge_typed({"limits": "max 120 °C", "read": read}, reading_id=f"{next(NUMBERS)}", name=name)
    return json.loads(json.dumps(event_data(found)))


def test_a_temperature_is_no_share_of_another():
    two = warm("left hub", "41 °C"), warm("right hub", "38 °C")
    assert refused(compare, *two, as_="ratio") == {
        "as": "A temperature is no share of another: its zero is only agreed on. Take the difference."
    }
    assert compare(*two, as_="difference").estimate.unit == "K"


def test_nothing_can_be_a_share_of_what_may_be_zero():
    assert refused(compare, volts("left lamp", "12.00 V"), volts("right lamp", "0.00 V"), as_="ratio")["as"].endswith(
        "may as well be zero, and nothing can be a share of that. Take the difference."
    )


def event(number, data):
    return Event.new(id=f"{number:032x}", stream="toolbox", kind="reading_judged", device="", device_seq=0,
                     happened="", recorded="", data=data)  # fmt: skip


def test_what_is_worth_comparing():
    readings = [event(number, volts(name, "12.20 V")) for number, name in enumerate(
        ["left lamp", "battery", "Right lamp", "cylinder 1", "cylinder 2", "earth strap", "drop after", "drop before"]
    )] + [event(20, volts("battery", "12.6 V")), event(21, kept("right lamp holder", read="14.0 ohm"))]  # fmt: skip
    found = [(pair.first.data["name"], pair.second.data["name"], pair.as_) for pair in pairs(readings)]
    assert found == [
        ("left lamp", "Right lamp", As.DIFFERENCE),
        ("cylinder 1", "cylinder 2", As.DIFFERENCE),
        ("drop before", "drop after", As.CHANGE),
        ("battery", "battery", As.CHANGE),
    ]


def test_two_units_are_not_offered():
    assert pairs([event(1, volts("left", "12 V")), event(2, kept("right", read="14.0 ohm"))]) == ()


def cold_and_hot(hot_read, **typed):
    cold = kept("pump coil cold", read="14.20 ohm", **{"part": "20 ± 1 °C", **typed})
    return cold, kept("pump coil hot", read=hot_read, **{**typed, "part": "60 ± 3 °C"})


def test_one_winding_cold_and_hot_is_as_warm_as_its_copper_says():
    cold, hot = cold_and_hot("16.40 ohm")
    found = compare(cold, hot, as_="copper")
    # IEC 60034-1 by hand, leads of 0.2 ohm off: 16.2 / 14.0 x (235 + 20) - 235.
    assert found.estimate.value == pytest.approx(16.2 / 14.0 * 255.0 - 235.0 - 60.0, abs=1e-9)
    assert (found.one_meter, found.differs, found.estimate.unit) == (True, False, "K")
    assert "percent of the meter" in found.cancelled
    assert found.sentence == (
        "By its own resistance the winding was at 60.1 ± 2.5 °C; 60 ± 3 °C was typed. "
        f"It rises as copper should (more than 99 %). {ONE_METER}"
    )
    assert found.value == "0.1 ± 3.8 K"


@pytest.mark.parametrize(
    ("read", "words"),
    [
        ("18.50 ohm", "It rises more than copper does (more than 99 %): suspect a joint or a connection that "
                      "opens when it is warm."),
        ("14.60 ohm", "It rises less than copper should (more than 99 %): suspect shorted turns, or something in "
                      "series that is no copper."),
    ],
)  # fmt: skip
def test_a_winding_that_does_not_rise_as_copper_is_suspect(read, words):
    found = compare(*cold_and_hot(read), as_="copper")
    assert found.differs
    assert words in found.sentence


def test_by_a_meter_that_nobody_named_it_cannot_be_told():
    found = compare(*cold_and_hot("16.40 ohm", meter="", zero="", conductor=""), as_="copper")
    assert not found.differs
    assert "Whether it rises as copper should cannot be told (" in found.sentence
    assert found.sentence.endswith(NOT_SAID)


def test_what_limits_were_stated_for_does_not_count():
    at_20, at_60 = (compare(*cold_and_hot("16.40 ohm", at=at), as_="copper").estimate for at in ("20", "60"))
    assert at_60.value == pytest.approx(at_20.value, abs=1e-9)
    assert at_60.standard_uncertainty == pytest.approx(at_20.standard_uncertainty, rel=1e-6)


def test_it_is_told_in_the_unit_of_what_was_typed():
    cold, _ = cold_and_hot("16.40 ohm")
    hot = kept("pump coil hot", read="16.40 ohm", part="140 ± 5 °F")
    assert "the winding was at 140.1 ± 4.6 °F; 140 ± 5 °F was typed." in compare(cold, hot, as_="copper").sentence


def test_which_pairs_are_one_winding():
    def ways(**typed):
        return [pair.as_ for pair in pairs([event(n, one) for n, one in enumerate(cold_and_hot("16.4 ohm", **typed))])]

    assert ways() == ways(conductor="") == [As.COPPER]
    assert ways(conductor="alloy") == ways(conductor="aluminium") == [As.CHANGE]
    no_part = [event(1, kept("coil warm", read="16.4 ohm", part="")), event(2, kept("coil cold", read="14.2 ohm"))]
    assert [pair.as_ for pair in pairs(no_part)] == [As.CHANGE]
    assert refused(compare, *(one.data for one in no_part), as_="copper")["as"].startswith(
        "These are not one copper winding, cold and then hot."
    )


def test_the_words_stand_beside_the_hot_ones_name():
    told = compared_words([event(n, one) for n, one in enumerate(cold_and_hot("16.40 ohm"))])
    assert [one.split(" the winding")[0] for one in told] == ["pump coil hot: By its own resistance"]


def test_a_winding_that_may_as_well_be_zero_when_cold_is_told_by_its_change():
    cold = kept("coil cold", read="0.22 ohm", zero="0.20 ohm", limits="0..100 ohm")
    hot = kept("coil hot", read="0.40 ohm", zero="0.20 ohm", limits="0..100 ohm", part="60 ± 3 °C")
    assert compared_words([event(1, cold), event(2, hot)])[0].startswith("coil hot: It reads 0.1")
