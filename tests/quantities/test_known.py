"""All quantities by name: each example works as it stands, and each refuses what cannot be."""

import json
import re
import shlex

import pytest
from tests.quantities.handed import given, judged
from tests.refusing import refused

from knowngood import cli, units
from knowngood.acts.readings.judging import COMMON
from knowngood.quantities.known import QUANTITIES, example_words

ALL = tuple(QUANTITIES.values())
each = pytest.mark.parametrize("quantity", ALL, ids=lambda one: one.name)
# Names, a reading that cannot be, and what is said to it.
IMPOSSIBLE = (
    ("winding_resistance", "-3 ohm",
     "A reading of -3 ohm is not above zero. Read again, and write the leads down apart from it."),
    ("voltage_drop charging_voltage battery_charge", "-3 V",
     "A reading of -3 V is below zero: the probes are the other way round. Swap them and read again."),
    ("parasitic_current", "-3 A",
     "A reading of -3 A is below zero: the meter's leads are the other way round, or something "
     "charges the battery. Swap them and read again."),
    ("acid_density", "-3 kg/L",
     "A density of -3 kg/L is not above zero. Draw acid until the float swims free, and read at eye level."),
    ("thermistor_temperature thermistor_resistance pt100_temperature pt100_resistance", "-3 ohm",
     "A reading of -3 ohm is below zero: the sensor still gets a voltage. Unplug it and read again."),
    ("thermistor_resistance", "0 ohm",
     "A reading of 0 ohm is below one step of the display: the sensor is shorted or the probes touch."
     " Take a smaller range and read again."),
    ("cylinder_compression cylinder_spread leak_down_gauges", "-3 kPa",
     "Cylinder 1 reads -3 kPa, which is not above zero. Seat the hose, crank until the needle stops "
     "rising, and read again."),
    ("leak_down", "-3 %",
     "A leakage of -3 % cannot be: it lies between 0 % (nothing gets out) and 100 % (nothing stays). "
     "Read the tester's percent scale."),
    ("oil_pressure fuel_pressure cooling_pressure", "-3 kPa",
     "A pressure of -3 kPa is below the air's. Look whether the gauge stands at zero when it is off, "
     "or judge it as a vacuum."),
    ("cooling_pressure_drop", "-100 97 kPa",
     "A test from -100 to 97 kPa; it starts above zero and ends at zero or more. Write first what the"
     " gauge showed at the start, then what it showed at the end."),
    ("disc_thickness thickness_variation", "-3 mm",
     "A disc of -3 mm is not above zero. Read that place again, and write what the gauge's zero is "
     "off apart from it."),
    ("runout", "-3 mm",
     "A total of -3 mm is below zero. Write highest minus lowest, or both as the needle showed them, "
     'such as "-0.02 0.03 mm".'),
    ("valve_clearance", "-3 mm",
     "A blade of -3 mm is below zero. Write the thickest blade that goes, or 0 when none does."),
    ("free_play", "-3 mm",
     "A free play of -3 mm is below zero. Read again, and write how far it moved without a sign."),
    ("belt_deflection", "-3 mm",
     "A deflection of -3 mm is below zero. Read again, and write how far it moved without a sign."),
    ("spring_length", "0 mm",
     "A spring of 0 mm is not above zero. Read again, and write its length from end to end."),
    ("pad_thickness", "-3 mm",
     "A pad of -3 mm is not above zero. Read that place again, and write what the gauge's zero is off"
     " apart from it."),
    ("tread_depth", "-3 mm",
     "A tread of -3 mm is not above zero. Read that place again, and write what the gauge's zero is "
     "off apart from it."),
    ("surface_temperature contact_temperature", "-300 °C",
     "A temperature of -300 °C is outside -60 to 800 °C. Check the number and its unit."),
    ("volume_out", "-3 L",
     "A reading of -3 L is not above zero. Leave out what was empty, and read at eye level."),
    ("volume_out_weighed", "-3 kg",
     "A reading of -3 kg is not above zero. Leave out what was empty, and put vessel and fluid on "
     "the scales together."),
)  # fmt: skip
# Names, and what is said to one reading where a spread or a pair is asked.
ALONE = (
    ("cylinder_spread", "1230 kPa",
     "One cylinder alone has nothing to be compared with. Read them all with the same gauge, one reading each."),
    ("cooling_pressure_drop", "100 kPa",
     "A drop takes two readings, 1 stand here. Write what the gauge showed at the start, then what it showed at the "
     "end."),
    ("thickness_variation", "22.31 mm",
     "One reading says nothing about how the thickness varies. Measure at 4 to 8 places, evenly spaced once round, "
     "and write all of them."),
    ("tilt_water", "412 mm",
     'Two heights belong here, one at each end of the hose; found: 1. Write both, such as "412 389 mm".'),
)  # fmt: skip
REFUSED = [(name, read, says) for names, read, says in IMPOSSIBLE + ALONE for name in names.split()]


@each
def test_its_example_works_as_it_stands(quantity, capsys):
    assert cli.main(["judge", *shlex.split(quantity.example), "--json"]) == cli.DONE
    out, err = capsys.readouterr()
    found = json.loads(out)
    assert (found["quantity"], found["estimate"]["unit"], err) == (quantity.name, quantity.judged.unit, "")
    assert found["band"]["unit"] == quantity.judged.unit
    assert found["verdict"] == ("out of limits" if quantity.name == "voltage_drop" else "within limits")


def test_the_help_of_judge_lists_each(capsys):
    with pytest.raises(SystemExit):
        cli.main(["judge", "--help"])
    said = capsys.readouterr().out
    assert [one.name for one in ALL if f"{one.name}: {one.title}\n    judge {one.example}\n" not in said] == []


@each
def test_its_names_are_ids_and_clash_with_nothing(quantity):
    asks = [ask.name for ask in quantity.asks]
    assert all(re.fullmatch(r"[a-z][a-z0-9_]*", name) for name in (quantity.name, *asks))
    assert len(asks) == len(set(asks))
    assert not set(asks) & {*COMMON, "name", "step"}


@each
def test_its_trap_is_one_sentence(quantity):
    assert re.fullmatch(r"[A-Z][^.!?]*(?:\d\.\d[^.!?]*)*\.", quantity.trap)


@each
def test_an_overload_is_no_reading(quantity):
    means = units.table.OVERLOADED.get(quantity.reads, units.table.OTHERWISE_OVERLOADED)
    assert refused(judged, quantity, read="OL") == {"read": f'"OL" is the display\'s overload: {means}'}
    assert ("circuit" in means) == (quantity.reads is units.Kind.RESISTANCE)


@each
def test_a_unit_of_another_kind_is_refused(quantity):
    other = ("3 V", "a voltage") if quantity.reads.unit != "V" else ("3 ohm", "a resistance")
    belongs = f'{quantity.reads.words} belongs here, such as "{quantity.reads.example}".'
    assert refused(judged, quantity, read=other[0]) == {"read": f'"{other[0]}" is {other[1]}; {belongs}'}


@pytest.mark.parametrize(("name", "read", "says"), REFUSED)
def test_what_cannot_be_is_refused(name, read, says):
    assert refused(judged, QUANTITIES[name], read=read) == {"read": says}


def test_each_has_a_reading_that_cannot_be():
    # A vacuum may be written with a minus, and a tilt leans either way.
    assert {one.name for one in ALL} - {name for name, _, _ in REFUSED} == {"vacuum", "tilt", "tilt_level"}


@each
def test_what_could_be_done_about_the_example_leaves_less_than_there_is(quantity):
    words = example_words(quantity)
    extra = {ask.name: words[ask.name] for ask in quantity.asks if ask.name in words}
    one = given(quantity, words["read"], **extra)
    found = quantity.estimate(one)
    assert found.unit == quantity.judged.unit
    now = {row.key: abs(row.contribution) for row in found.rows}
    for way in quantity.remedies(one, found):
        assert way.after
        assert all(left <= now[key] for key, left in way.after.items() if key != "twin")
