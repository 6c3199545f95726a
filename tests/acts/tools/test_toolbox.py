"""Instruments of the toolbox: added, found again by name, unit and range, and corrected by their checks."""

from dataclasses import replace

import pytest
from tests.garages import giving
from tests.refusing import refused

from knowngood.acts.tools.instrument_checks import held
from knowngood.acts.tools.instruments import from_json
from knowngood.acts.tools.taken_away import taken_away
from knowngood.acts.tools.toolbox import instrument_for
from knowngood.engine.measurement.meters.classes import PRESETS
from knowngood.engine.measurement.meters.instruments import Meter
from knowngood.store.event import Event
from knowngood.store.folds import ToolboxState, fold_toolbox


def in_words(toolbox):
    return [words for thing in held(toolbox) for words in thing.words]


@pytest.fixture
def keep(garage):
    """Keep an entry: keep("instrument_added", name=...)."""
    return giving(garage)


def test_a_multimeter_has_lines_for_ohm_volt_and_ampere_under_one_name(garage, keep):
    keep("instrument_added", name="yellow", preset="multimeter")
    found = {
        (unit, value): instrument_for(garage.toolbox(), "yellow", unit, [value]).meter.step
        for unit, value in [("ohm", 100.0), ("ohm", 2500.0), ("V", 0.3), ("V", -12.6), ("A", 3.0)]
    }
    assert list(found.values()) == [0.1, 1.0, 0.0001, 0.01, 0.01]


def test_lines_of_one_name_add_up_and_the_range_that_fits_is_taken(garage, keep):
    keep("instrument_added", name="blue", line="0.8 % + 3 digits, 0.1 ohm", range="0..600 ohm")
    keep("instrument_added", name="blue", line="0.5 % + 2 digits, 0.01 V")
    keep("instrument_added", name="blue", line="1.2 % + 3 digits, 1 ohm", range="6000")
    toolbox = garage.toolbox()
    assert instrument_for(toolbox, "blue", "ohm", [590.0, 599.0]).meter == Meter("blue", 0.8, 3.0, 0.1)
    assert instrument_for(toolbox, "blue", "ohm", [590.0, 601.0]).meter == Meter("blue", 1.2, 3.0, 1.0)
    assert instrument_for(toolbox, "blue", "V", [12.0]).meter == Meter("blue", 0.5, 2.0, 0.01)
    assert instrument_for(toolbox, "grey", "V", [12.0]) is None


def test_a_newer_line_for_every_range_stands_for_the_older_ones(garage, keep):
    keep("instrument_added", name="blue", line="0.8 % + 3 digits, 0.1 ohm", range="0..600 ohm")
    keep("instrument_added", name="blue", line="1 % + 2 digits, 0.1 ohm")
    assert instrument_for(garage.toolbox(), "blue", "ohm", [100.0]).meter.percent == 1.0


@pytest.mark.parametrize(
    ("unit", "value", "words"),
    [
        ("A", 1.0, "The blue is described in ohm and V only. Take another line."),
        (
            "ohm", 700.0,
            "The blue is described up to 600 ohm, and 700 ohm was read. Take another line, or add the line of that "
            "range.",
        ),
    ],
)  # fmt: skip
def test_a_reading_that_no_line_holds_is_refused(garage, keep, unit, value, words):
    keep("instrument_added", name="blue", line="0.8 % + 3 digits, 0.1 ohm", range="0..600 ohm")
    keep("instrument_added", name="blue", line="0.5 % + 2 digits, 0.01 V")
    assert refused(instrument_for, garage.toolbox(), "blue", unit, [value]) == {"meter": words}


def test_the_oldest_events_are_read_as_ohmmeters():
    old = {"name": "old", "percent": 0.8, "digits": 3.0, "step": 0.1}
    event = Event.new(
        id="1" * 32, stream="toolbox", kind="instrument_added", device="d", device_seq=0, happened="2026-01-01",
        recorded="2026-01-01", data={**old, "kind": "multimeter", "line": "0.8 % + 3 digits, 0.1 ohm"},
    )  # fmt: skip
    toolbox = fold_toolbox(ToolboxState(), [event])
    assert instrument_for(toolbox, "old", "ohm", [5.0]).meter == from_json(old) == Meter("old", 0.8, 3.0, 0.1)
    assert in_words(toolbox) == ["old: ± (0.8 % + 3 digits, 0.1 ohm)"]


@pytest.mark.parametrize("key", PRESETS)
def test_every_kind_can_be_added_without_a_data_sheet(garage, keep, key):
    keep("instrument_added", name="mine", preset=key, range="0..10 bar" if PRESETS[key].asks_span else "")
    for line in PRESETS[key].lines:
        found = instrument_for(garage.toolbox(), "mine", line.unit, [0.1])
        assert found.meter.assumed is PRESETS[key].ours
    assert in_words(garage.toolbox())[0].startswith("mine: ")


def test_how_it_is_read_is_said_once_behind_its_lines(garage, keep):
    keep("instrument_added", name="mine", preset="level")
    assert in_words(garage.toolbox()) == [
        "mine: ± (0.1 deg, 0.1 deg)", "mine: ± (0.5 mm, 0.5 mm)",
        "Turn it end for end and take the middle of both readings.",
    ]  # fmt: skip


def test_a_gauges_scale_becomes_what_it_may_be_off(garage, keep):
    keep("instrument_added", name="gauge", preset="pressure_gauge", range="0..10 bar")
    assert instrument_for(garage.toolbox(), "gauge", "kPa", [300.0]).meter.absolute == pytest.approx(25.0)
    assert in_words(garage.toolbox()) == ["gauge: class 2.5, 0–10 bar"]


NOTHING = "Nothing is written here. Write the line from its data sheet, such as 0.8 % + 3 digits, 0.1 ohm."


@pytest.mark.parametrize(
    ("fields", "problems"),
    [
        ({}, {"line": NOTHING}),
        ({"preset": "other"}, {"line": NOTHING}),
        ({"preset": "hammer"}, {"preset": '"hammer" is no instrument known here. Choose one, or Another.'}),
        (
            {"preset": "pressure_gauge"},
            {"range": "A gauge's class is a share of its whole scale, and the scale is not stated. "
             "Write its lowest and highest mark, such as 0..10 bar."},
        ),
        (
            {"preset": "pressure_gauge", "range": "0..10 V"},
            {"range": '"0..10 V" is in V; this instrument is read in kPa.'},
        ),
        (
            {"preset": "caliper", "line": "0.5 % + 2 digits, 0.01 V"},
            {"line": '"0.5 % + 2 digits, 0.01 V" is in V; a caliper is read in mm.'},
        ),
        (
            {"line": "0.8 % + 3 digits, 0.1 ohm", "range": "0..10 V"},
            {"line": '"0..10 V" is in V; the line is in ohm. Write both for the same range.'},
        ),
    ],
)  # fmt: skip
def test_what_cannot_be_added_is_told_at_its_field(keep, fields, problems):
    assert refused(keep, "instrument_added", name="mine", **fields) == problems


def test_a_check_is_kept_shown_and_used(garage, keep):
    keep("instrument_added", name="fine", line="1 % + 1 digit, 0.01 ohm")
    keep("instrument_checked", name="fine", known="100 ohm", give="0.1", shown="100.60", date="2026-11-20")
    assert in_words(garage.toolbox()) == [
        "fine: ± (1 % + 1 digit, 0.01 ohm). Checked 2026-11-20: shows 100.6 ohm at 100 ohm ± 0.1 ohm, within its class "
        "of ± 1.016 ohm."
    ]
    held = instrument_for(garage.toolbox(), "fine", "ohm", [100.5, 100.7])
    found = held.trusted(100.6)
    assert held.error(100.6) == pytest.approx(0.6)
    assert 100.6 * found.percent / 100.0 == pytest.approx(0.11)


def test_a_check_outside_its_class_is_said(garage, keep):
    keep("instrument_added", name="fine", line="1 % + 1 digit, 0.01 ohm")
    keep("instrument_checked", name="fine", known="100 ohm", shown="105")
    assert in_words(garage.toolbox()) == [
        "fine: ± (1 % + 1 digit, 0.01 ohm). Checked 2026-11-21: shows 105 ohm at 100 ohm ± 1 ohm (assumed), outside "
        "its class of ± 1.06 ohm. Look at its battery, leads and zero, and check it again; until then readings count "
        "as doubtful as this error."
    ]


def test_a_micrometers_zero_is_taken_off_and_a_later_zero_replaces_it(garage, keep):
    keep("instrument_added", name="mike", preset="micrometer")
    for shown in ("0.02", "-0.01"):
        keep("instrument_checked", name="mike", known="0", shown=shown)
    assert instrument_for(garage.toolbox(), "mike", "mm", [10.0]).error(10.0) == -0.01
    assert in_words(garage.toolbox())[0].endswith(
        "Checked 2026-11-21: shows −0.01 mm at zero, which is taken off every reading."
    )


def test_the_check_that_counts_is_the_last_by_its_day_and_points_stand_together(garage, keep):
    keep("instrument_added", name="probe", line="± 2.5 °C, 0.1 °C")
    keep("instrument_checked", name="probe", known="100 °C", give="0.5", shown="97.2")
    keep("instrument_checked", name="probe", known="0 °C", give="0.2", shown="-0.4", date="2026-11-01")
    keep("instrument_checked", name="probe", known="100 °C", give="0.5", shown="101", date="2026-10-01")
    held = instrument_for(garage.toolbox(), "probe", "°C", [50.0])
    assert (held.error(97.2), held.error(-0.4)) == pytest.approx((-2.8, -0.4))
    assert held.error(48.4) == pytest.approx(-1.6)
    [words] = in_words(garage.toolbox())
    assert words.count("Checked") == 2
    assert words.index("shows −0.4 °C at 0 °C") < words.index("shows 97.2 °C at 100 °C")


def test_a_zero_entered_late_is_none_for_today(garage, keep):
    keep("instrument_added", name="mike", preset="micrometer")
    keep("instrument_checked", name="mike", known="0", shown="0.01", date="2026-11-20")
    keep("instrument_checked", name="mike", known="0", shown="0.03", date="2026-01-20")
    assert instrument_for(garage.toolbox(), "mike", "mm", [10.0]).error(10.0) == 0.01
    assert "Checked 2026-11-20: shows 0.01 mm at zero" in in_words(garage.toolbox())[0]


def test_a_zero_far_outside_the_class_is_said(garage, keep):
    keep("instrument_added", name="cheap", preset="caliper", line="± 0.03 mm, 0.01 mm")
    keep("instrument_checked", name="cheap", known="0 mm", shown="0.30")
    assert in_words(garage.toolbox())[0].endswith(
        "Checked 2026-11-21: shows 0.3 mm at zero, which is taken off every reading. That is far more than its class "
        "of ± 0.03 mm: wipe it, set its zero anew and check it again."
    )


@pytest.mark.parametrize("fields", [{"give": "0.1 %"}, {"give": "0,1%"}, {"known": "100 ohm ± 0.1 %"}, {"give": "0.1"}])
def test_a_known_value_is_sold_in_percent(garage, keep, fields):
    keep("instrument_added", name="blue", line="0.8 % + 3 digits, 0.1 ohm")
    keep("instrument_checked", **{"name": "blue", "known": "100 ohm", "shown": "100.4", **fields})
    [check] = garage.toolbox().checks
    assert check.data["known_half_width"] == pytest.approx(0.1)


def test_touching_probes_that_an_older_version_kept_as_a_check_count_once(garage, keep):
    keep("instrument_added", name="blue", line="0.8 % + 3 digits, 0.1 ohm")
    keep("instrument_checked", name="blue", known="100 ohm", shown="100.4")
    toolbox = garage.toolbox()
    [check] = toolbox.checks
    old = replace(check, id="2" * 32, data={**check.data, "known": 0.0, "known_half_width": 0.0, "shown": 0.3})
    assert instrument_for(fold_toolbox(toolbox, [old]), "blue", "ohm", [5.0]).error(0.3) == pytest.approx(0.0, abs=0.05)


def test_a_check_of_one_range_says_nothing_of_another(garage, keep):
    keep("instrument_added", name="yellow", preset="multimeter")
    keep("instrument_checked", name="yellow", known="100 ohm ± 0.1", shown="100.8")
    toolbox = garage.toolbox()
    assert instrument_for(toolbox, "yellow", "ohm", [100.0]).error(100.0) > 0.0
    assert instrument_for(toolbox, "yellow", "ohm", [1000.0]).error(1000.0) == 0.0


DOUBT = " does not say how far the known value may be off. Write one number above zero, such as 0.1 or 1 %."


@pytest.mark.parametrize(
    ("fields", "problems"),
    [
        ({"name": "grey"}, {"name": 'The toolbox has no "grey". Add it first, then check it.'}),
        ({"known": ""}, {"known": "Nothing is written here. Write what it should show, such as 100 ohm."}),
        ({"shown": ""}, {"shown": "Nothing is written here. Write what it showed, such as 100.4."}),
        ({"known": "12 V"}, {"shown": "The blue is described in ohm only. Take another line."}),
        ({"shown": "12 V"}, {"shown": '"12 V" is a voltage; a resistance belongs here, such as "13.4 ohm".'}),
        ({"give": "-1"}, {"give": f'"-1"{DOUBT}'}),
        ({"give": "some"}, {"give": f'"some"{DOUBT}'}),
        (
            {"name": "probe", "known": "100 °C", "give": "1 %", "shown": "99"},
            {"give": '"1 %" cannot be: no temperature is known to a percent. Write it in °C, such as 0.1.'},
        ),
        ({"give": "0 %"}, {"give": '"0 %" cannot be: of this value that is none. Write it in ohm, such as 0.1.'}),
        (
            {"known": "0 ohm"},
            {
                "known": "Probes that touch show their leads. Write that with each reading, as what they show "
                "touching, and check the meter against a known resistor, such as 100 ohm."
            },
        ),
        (
            {"date": "yesterday"},
            {"date": '"yesterday" is no day. Write year, month and day, such as 2026-11-21.'},
        ),
        (
            {"date": "2026-11-22"},
            {"date": '"2026-11-22" is still to come. Write the day of the check, such as 2026-11-21.'},
        ),
    ],
)
def test_what_is_no_check_is_told_at_its_field(keep, fields, problems):
    keep("instrument_added", name="blue", line="0.8 % + 3 digits, 0.1 ohm")
    keep("instrument_added", name="probe", line="± 2.5 °C, 0.1 °C")
    assert (
        refused(keep, "instrument_checked", **{"name": "blue", "known": "100 ohm", "shown": "100.4", **fields})
        == problems
    )


def test_only_what_was_taken_away_last_is_put_back(garage, keep):
    (one,) = keep("tool_added", name="chocks")
    (other,) = keep("tool_added", name="lamp")
    assert taken_away(garage.toolbox()) is None
    keep("withdrawn", event=one.id)
    keep("withdrawn", event=other.id)
    last = taken_away(garage.toolbox())
    assert last.words == ("lamp",)
    keep("withdrawn", event=" ".join(last.events))
    assert [event.data["name"] for event in garage.toolbox().tools] == ["lamp"]
    assert taken_away(garage.toolbox()).words == ("chocks",)
