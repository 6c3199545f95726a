"""What cannot be, by quantity: each whole sentence, at the field that it is about."""

from dataclasses import replace

import pytest
from tests.quantities.handed import judged
from tests.refusing import refused

from knowngood import units
from knowngood.engine.measurement.meters.bounds import ASKED, JUDGED, READ
from knowngood.quantities.known import QUANTITIES

# What was typed instead of the example's words, the field that is refused, and what is said there.
REFUSED = {
    "voltage_drop": (
        ({"read": "310 V"}, "read",
         "A voltage lost of 310 V is more than 32 V: more than the vehicle's own supply cannot be lost. "
         "Look at the display's unit and point, and read again."),
        ({"load_a": "20000 A"}, "load_a",
         "A current of 20000 A is more than 3000 A: no starter draws more. Look at the display's unit and "
         "point, and read again."),
        ({"at_load": "20000 A"}, "at_load",
         "A current of 20000 A is more than 3000 A: no starter draws more. Look at the display's unit and "
         "point, and read again."),
        ({"limits": "-0.2..0.2 V"}, "limits",
         "\"-0.2..0.2 V\" cannot be; a voltage lost lies from 0 to 32 V: more than the vehicle's own supply "
         "cannot be lost. Check the number and its unit."),
    ),
    "charging_voltage": (
        ({"read": "142 V"}, "read",
         "A charging voltage of 142 V is more than 60 V: no battery of 6 to 48 V is charged with less or "
         "more. Look at the display's unit and point, and read again."),
        ({"read": "14.2 mV"}, "read",
         "A charging voltage of 14.2 mV is less than 4000 mV: no battery of 6 to 48 V is charged with less"
         " or more. Look at the display's unit and point, and read again."),
        ({"limits": "138..148 V"}, "limits",
         '"138..148 V" cannot be; a charging voltage lies from 4 to 60 V: no battery of 6 to 48 V is '
         "charged with less or more. Check the number and its unit."),
    ),
    "parasitic_current": (
        ({"read": "32 A"}, "read",
         "A current while everything sleeps of 32 A is more than 20 A: that is a load that runs, and blows"
         " a meter's fuse. Look at the display's unit and point, and read again."),
        ({"locked": "9000 h"}, "locked",
         "A time since it was locked of 9000 h is more than 8780 h: a year is the most that counts. Write "
         "a time such as 20 min or 10 h."),
        ({"sleep": "-20"}, "sleep",
         "-20 min is below zero. Write the time until everything sleeps, such as 20."),
        ({"sleep": "2000"}, "sleep",
         "A time until everything sleeps of 2000 min is more than 1440 min: no module takes a day. Write a"
         " time such as 20 min or 10 h."),
        ({"burden": "20 V"}, "burden",
         "A voltage across the meter of 20 V is more than 2 V: behind more the modules would start anew. "
         "Read it across the meter's own two sockets, or leave it empty."),
    ),
    "battery_charge": (
        ({"rested": "10000 h"}, "rested",
         "A rest of 10000 h is more than 8780 h: a year is the most that counts. Write a time such as 20 "
         "min or 10 h."),
        ({"temperature": "180"}, "temperature",
         "A battery's temperature of 180 °C is more than 60 °C: no battery lives through it. Check the "
         "temperature and its unit."),
        ({"limits": "min 750 %"}, "limits",
         '"min 750 %" cannot be; a charge lies from 0 to 100 %: it lies between empty and full. Check the '
         "number and its unit."),
    ),
    "acid_density": (
        ({"read": "1265 kg/L"}, "read",
         "An acid's density of 1265 kg/L is more than 1.4 kg/L: water has 1.00, no battery's acid reaches 1.4, and "
         "1265 is written 1.265. Check the number and its unit."),
        ({"read": "0.9 kg/L"}, "read",
         "An acid's density of 0.9 kg/L is less than 1 kg/L: water has 1.00, no battery's acid reaches 1.4, and "
         "1265 is written 1.265. Check the number and its unit."),
        ({"at": "200"}, "at",
         "A temperature of limits of 200 °C is more than 50 °C: no manual states an acid's density for it. Check the "
         "temperature and its unit."),
        ({"acid": "120"}, "acid",
         "An acid's temperature of 120 °C is more than 60 °C: no battery lives through it. Check the temperature and "
         "its unit."),
    ),
    "thermistor_temperature": (
        ({"r25": "10 Mohm"}, "r25",
         "A sensor of 10 MΩ is more than 5 MΩ: no thermistor has less or more. Copy it from the manual, "
         "such as 2.2 kΩ."),
        ({"r25": "10 ± 9 kohm", "tolerance": ""}, "r25",
         "A sensor of 10000 ohm that may be off by 90 % tells nothing; up to 50 % is taken. Copy what "
         "stands after ± from its data sheet."),
        ({"r_at": "900"}, "r_at",
         "A temperature of 900 °C is more than 250 °C: the sensor's curve does not reach further. Check "
         "the temperature and its unit."),
        ({"tolerance": "1 ± 1"}, "tolerance",
         '"1 ± 1 %" says how far off; a plain number belongs here. Write it without ±, such as "5 %".'),
        ({"table_t": "0 20 900"}, "table_t",
         "A temperature of 900 °C is more than 250 °C: the sensor's curve does not reach further. Check "
         "the temperature and its unit."),
        ({"limits": "78..840 °C"}, "limits",
         "\"78..840 °C\" cannot be; a temperature lies from -60 to 250 °C: the sensor's curve does not reach"
         " further. Check the number and its unit."),
    ),
    "thermistor_resistance": (
        ({"read": "9 Mohm"}, "read",
         "A sensor of 9 MΩ is more than 5 MΩ: no thermistor has less or more; it is shorted or open. Look "
         "at the display's unit and point, and read again."),
        ({"read": "30 mohm"}, "read",
         "A sensor of 30 mΩ is less than 1000 mΩ: no thermistor has less or more; it is shorted or open. "
         "Look at the display's unit and point, and read again."),
        ({"r_at": "warm"}, "r_at",
         '"warm" holds no number. Write one with its unit, such as "41 °C".'),
        ({"limits": "-2..2 kohm"}, "limits",
         '"-2..2 kohm" cannot be; a sensor lies from 0.001 to 5000 kΩ: no thermistor has less or more; it '
         "is shorted or open. Check the number and its unit."),
    ),
    "pt100_temperature": (
        ({"sensor": "50"}, "sensor",
         '"50" is none of the choices. Take 100, 200 or 1000.'),
        ({"zero": "0.3 ± 0.1 ohm"}, "zero",
         '"0.3 ± 0.1 ohm" says how far off; a plain number belongs here. Write it without ±, such as "13.4'
         ' ohm".'),
    ),
    "pt100_resistance": (
        ({"read": "215.9 kohm"}, "read",
         "A sensor of 215.9 kΩ is more than 8 kΩ: no Pt100 to Pt1000 has less or more; it is shorted or "
         "open. Look at the display's unit and point, and read again."),
        ({"read": "2 ohm"}, "read",
         "A sensor of 2 ohm is less than 10 ohm: no Pt100 to Pt1000 has less or more; it is shorted or "
         "open. Look at the display's unit and point, and read again."),
    ),
    "cylinder_compression": (
        ({"read": "12300 kPa"}, "read",
         "A compression of 12300 kPa is more than 8000 kPa: no cylinder reaches more, and less is none. "
         "Check the number and its unit, and look which scale of the gauge was read."),
        ({"read": "1.2 kPa"}, "read",
         "A compression of 1.2 kPa is less than 10 kPa: no cylinder reaches more, and less is none. Check "
         "the number and its unit, and look which scale of the gauge was read."),
        ({"read": "180 MPa"}, "read",
         "A compression of 180 MPa is more than 8 MPa: no cylinder reaches more, and less is none. Check "
         "the number and its unit, and look which scale of the gauge was read."),
        ({"limits": "-10..20 bar"}, "limits",
         '"-10..20 bar" cannot be; a compression lies from 0.1 to 80 bar: no cylinder reaches more, and '
         "less is none. Check the number and its unit."),
    ),
    "cylinder_spread": (
        ({"read": "1.23 1.21 kPa"}, "read",
         "A compression of 1.23 kPa is less than 10 kPa: no cylinder reaches more, and less is none. Check"
         " the number and its unit, and look which scale of the gauge was read."),
        ({"limits": "min 750 %"}, "limits",
         '"min 750 %" cannot be; the lowest cylinder lies from 0 to 100 %: it is a share of the highest, '
         "which has 100 %. Check the number and its unit."),
    ),
    "leak_down": (
        ({"read": "8 120 %"}, "read",
         "A leakage of 120 % cannot be: it lies between 0 % (nothing gets out) and 100 % (nothing stays). "
         "Read the tester's percent scale."),
        ({"limits": "max 200 %"}, "limits",
         '"max 200 %" cannot be; a leakage lies from 0 to 100 %: it lies between nothing and all of the '
         "air. Check the number and its unit."),
    ),
    "leak_down_gauges": (
        ({"read": "6900 kPa"}, "read",
         "A tester's pressure of 6900 kPa is more than 1500 kPa: no leakage tester is fed with more. Check"
         " the number and its unit, and look which scale of the gauge was read."),
        ({"supply": "6900"}, "supply",
         "A supply of 6900 kPa is more than 1500 kPa: no leakage tester is fed with less or more. Check "
         "the number and its unit, and look which scale of the gauge was read."),
        ({"supply": "6.9"}, "supply",
         "A supply of 6.9 kPa is less than 50 kPa: no leakage tester is fed with less or more. Check the "
         "number and its unit, and look which scale of the gauge was read."),
        ({"supply": "690 ± 20 kPa"}, "supply",
         '"690 ± 20 kPa" says how far off; a plain number belongs here. Write it without ±, such as "110 '
         'kPa".'),
    ),
    "oil_pressure": (
        ({"read": "14000 kPa"}, "read",
         "An oil pressure of 14000 kPa is more than 1500 kPa: the pump's relief valve opens long before. "
         "Check the number and its unit, and look which scale of the gauge was read."),
        ({"read": "300 psi"}, "read",
         "An oil pressure of 300 psi is more than 218 psi: the pump's relief valve opens long before. "
         "Check the number and its unit, and look which scale of the gauge was read."),
    ),
    "fuel_pressure": (
        ({"read": "180 bar"}, "read",
         "A fuel pressure of 180 bar is more than 15 bar: more is the high-pressure side, whose jet goes "
         "through skin; keep it closed. Check the unit, and leave that side to a workshop."),
    ),
    "cooling_pressure": (
        ({"read": "102 psi"}, "read",
         "A cooling system's pressure of 102 psi is more than 43.5 psi: its cap opens long before. Check "
         "the number and its unit, and look which scale of the gauge was read."),
    ),
    "cooling_pressure_drop": (
        ({"read": "1000 970 kPa"}, "read",
         "A cooling system's pressure of 1000 kPa is more than 300 kPa: its cap opens long before. Check "
         "the number and its unit, and look which scale of the gauge was read."),
        ({"held": "3000"}, "held",
         "A wait of 3000 min is more than 1440 min: nobody holds a pressure for a day. Write a time such "
         "as 20 min or 10 h."),
        ({"over": "3000"}, "over",
         "A wait of 3000 min is more than 1440 min: nobody holds a pressure for a day. Write a time such "
         "as 20 min or 10 h."),
        ({"warmer": "200"}, "warmer",
         "A change of temperature of 200 K is more than 100 K: nothing changes so far meanwhile. Check the"
         " temperature and its unit."),
        ({"limits": "max -10 kPa"}, "limits",
         '"max -10 kPa" cannot be; a pressure lost lies from 0 to 300 kPa: no more can be lost than the '
         'cap holds. Write them without the minus, such as "min 10 kPa".'),
    ),
    "vacuum": (
        ({"read": "130 kPa"}, "read",
         "A vacuum of 130 kPa is more than 105 kPa: it is counted from the air's pressure down, and then "
         "nothing is left. Check the number and its unit, and look which scale of the gauge was read."),
        ({"read": "-40 inHg"}, "read",
         "A vacuum of -40 inHg is more than -31 inHg: it is counted from the air's pressure down, and then"
         " nothing is left. Check the number and its unit, and look which scale of the gauge was read."),
        ({"limits": "-60..-50 kPa"}, "limits",
         "\"-60..-50 kPa\" cannot be; a vacuum lies from 0 to 105 kPa: it is counted from the air's pressure"
         ' down, without a sign. Write them without the minus, such as "50..60 kPa".'),
        ({"limits": "max -18 inHg"}, "limits",
         "\"max -18 inHg\" cannot be; a vacuum lies from 0 to 31 inHg: it is counted from the air's pressure"
         ' down, without a sign. Write them without the minus, such as "min 18 inHg".'),
        ({"limits": "550..750 kPa"}, "limits",
         "\"550..750 kPa\" cannot be; a vacuum lies from 0 to 105 kPa: it is counted from the air's pressure"
         " down, without a sign. Check the number and its unit."),
    ),
    "disc_thickness": (
        ({"read": "223 mm"}, "read",
         "A disc of 223 mm is more than 60 mm: no brake disc is thinner or thicker. Check the number and "
         "its unit."),
        ({"read": "0.22 mm"}, "read",
         "A disc of 0.22 mm is less than 1 mm: no brake disc is thinner or thicker. Check the number and "
         "its unit."),
        ({"zero_error": "22"}, "zero_error",
         "A zero of the gauge of 22 mm is more than 10 mm: a gauge that is further off is broken. Check "
         "the number and its unit."),
    ),
    "thickness_variation": (
        ({"read": "223 223 223 223 mm"}, "read",
         "A disc of 223 mm is more than 60 mm: no brake disc is thinner or thicker. Check the number and "
         "its unit."),
        ({"limits": "max 20 mm"}, "limits",
         '"max 20 mm" cannot be; a variation lies from 0 to 5 mm: it has no sign, and a disc that varies '
         "more is scrap. Check the number and its unit."),
    ),
    "runout": (
        ({"read": "-20 30 mm"}, "read",
         "A dial's reading of 30 mm is more than 25 mm: no dial indicator reaches further. Check the "
         "number and its unit."),
        ({"bearing_play": "22"}, "bearing_play",
         "A play of 22 mm is more than 10 mm: a wheel with more is about to come off. Check the number and"
         " its unit."),
        ({"limits": "-0.05..0.05 mm"}, "limits",
         '"-0.05..0.05 mm" cannot be; a runout lies from 0 to 25 mm: it has no sign, and no dial indicator'
         " reaches further. Check the number and its unit."),
    ),
    "valve_clearance": (
        ({"read": "0.0025 mm"}, "read",
         "A blade of 0.0025 mm is less than 0.01 mm: no set of feeler gauges has a thinner or a thicker "
         "one. Check the number and its unit."),
        ({"read": "25 mm"}, "read",
         "A blade of 25 mm is more than 5 mm: no set of feeler gauges has a thinner or a thicker one. "
         "Check the number and its unit."),
        ({"read": "0.25", "not": "30"}, "not",
         "A blade of 30 mm is more than 5 mm: no set of feeler gauges has a thinner or a thicker one. "
         "Check the number and its unit."),
    ),
    "free_play": (
        ({"read": "1.4 m"}, "read",
         "A free play of 1.4 m is more than 0.5 m: no lever or pedal goes that far. Check the number and "
         "its unit."),
        ({"end": "100"}, "end",
         "A doubt about the end of 100 mm is more than 50 mm: with more nothing is found. Check the number"
         " and its unit."),
        ({"end": "1 ± 0.5 mm"}, "end",
         '"1 ± 0.5 mm" says how far off; a plain number belongs here. Write it without ±, such as "1.5 '
         'mm".'),
    ),
    "spring_length": (
        ({"read": "4.5 m"}, "read",
         "A spring of 4.5 m is more than 2 m: no vehicle has a shorter or a longer one. Check the number "
         "and its unit."),
        ({"read": "0.45 mm"}, "read",
         "A spring of 0.45 mm is less than 1 mm: no vehicle has a shorter or a longer one. Check the "
         "number and its unit."),
    ),
    "belt_deflection": (
        ({"read": "1.1 m"}, "read",
         "A deflection of 1.1 m is more than 0.2 m: no run of a belt gives way that far. Check the number "
         "and its unit."),
    ),
    "pad_thickness": (
        ({"read": "52 mm"}, "read",
         "A lining of 52 mm is more than 40 mm: no brake has a thicker one. Check the number and its unit."),
    ),
    "tread_depth": (
        ({"read": "41 mm"}, "read",
         "A tread of 41 mm is more than 30 mm: no road tyre has a deeper one. Check the number and its "
         "unit."),
    ),
    "surface_temperature": (
        ({"surroundings": "2500"}, "surroundings",
         "A temperature around it of 2500 °C is more than 800 °C: nobody reads anything there. Check the "
         "temperature and its unit."),
        ({"emissivity_set": "95"}, "emissivity_set",
         "An emissivity setting of 95 is more than 1: no thermometer can be set to it. Look at the display"
         " or the manual; most are fixed at 0.95."),
        ({"limits": "max 9500 °C"}, "limits",
         '"max 9500 °C" cannot be; a temperature lies from -60 to 800 °C: thermometers of this kind do not'
         " reach further. Check the number and its unit."),
    ),
    "contact_temperature": (
        ({"surroundings": "-80"}, "surroundings",
         "A temperature around it of -80 °C is less than -60 °C: nobody reads anything there. Check the "
         "temperature and its unit."),
    ),
    "volume_out": (
        ({"read": "3500 L"}, "read",
         "A pour of 3500 L is more than 200 L: no vessel that is poured from holds more. Check the number "
         "and its unit."),
        ({"marks": "100"}, "marks",
         "A distance of marks of 100 L is more than 50 L: no vessel has wider ones. Check the number and "
         "its unit."),
        ({"limits": "-3..3 L"}, "limits",
         '"-3..3 L" cannot be; a volume lies from 0 to 2000 L: no vehicle holds more. Check the number and'
         " its unit."),
    ),
    "volume_out_weighed": (
        ({"read": "4190 kg"}, "read",
         "A weighing of 4190 kg is more than 300 kg: nobody hangs a heavier vessel on a scale. Check the "
         "number and its unit."),
        ({"tare": "-0.71"}, "tare",
         "The empty vessel weighs -0.71 kg, which is below zero. Weigh it on the same scales, or leave it "
         "empty when they were set to zero with it."),
        ({"tare": "710"}, "tare",
         "An empty vessel of 710 kg is more than 100 kg: nobody lifts more. Check the number and its unit."),
        ({"density": "870"}, "density",
         "A density of 870 is more than 2: no fluid of a vehicle has it. Write it in kg/L, such as 0.87."),
        ({"density": "nan"}, "density",
         "\"nan\" is not a number. From the fluid's data sheet, such as 0.87; counts before the fluid."),
    ),
    "tilt": (
        ({"read": "95 deg"}, "read",
         "A tilt of 95 deg is more than 90 deg: at that it stands upright. Check the number and its unit."),
        ({"turned": "95 deg"}, "turned",
         "A tilt of 95 deg is more than 90 deg: at that it stands upright. Check the number and its unit."),
    ),
    "tilt_level": (
        ({"read": "3000 mm"}, "read",
         "A bubble's place of 3000 mm is more than 50 mm: no vial is longer; the bubble counts, not how "
         "far one end of the level is lifted. Check the number and its unit."),
        ({"turned": "3000 mm"}, "turned",
         "A bubble's place of 3000 mm is more than 50 mm: no vial is longer; the bubble counts, not how "
         "far one end of the level is lifted. Check the number and its unit."),
        ({"sensitivity": "500"}, "sensitivity",
         "A level's mm/m of 500 is more than 300: no level is finer or coarser. Write what stands on it "
         "for one division, such as 0.5."),
        ({"limits": "-1..1 deg"}, "limits",
         '"-1..1 deg" cannot be; a tilt lies from 0 to 90 deg: it has no sign here, and at 90 deg it '
         "stands upright. Check the number and its unit."),
    ),
    "tilt_water": (
        ({"read": "4120 3890 mm"}, "read",
         "A height of 4120 mm is more than 4000 mm: a ruler measures it, from a point of the vehicle to "
         "the water. Check the number and its unit."),
        ({"read": "-412 -389 mm"}, "read",
         "A height of -412 mm is below zero. Measure from a point of the vehicle to the water, at both "
         "ends to the same side, and write both without a sign."),
        ({"read": "2412 389 mm"}, "read",
         "Heights 2023 mm apart over 2600 mm: nothing stands that steep. Check both units, and write the "
         "heights at which the water stands, not the length of the hose."),
        ({"distance": "2.6 mm"}, "distance",
         "A distance between the ends of 2.6 mm is less than 100 mm: a hose along a vehicle has another. "
         "Check the number and its unit."),
        ({"distance": "2600 m"}, "distance",
         "A distance between the ends of 2600 m is more than 30 m: a hose along a vehicle has another. "
         "Check the number and its unit."),
    ),
}  # fmt: skip


@pytest.mark.parametrize(
    ("name", "typed", "field", "says"),
    [(name, *row) for name, rows in REFUSED.items() for row in rows],
)
def test_what_cannot_be_is_refused_at_its_field(name, typed, field, says):
    assert refused(judged, QUANTITIES[name], **typed) == {field: says}


@pytest.mark.parametrize(
    ("name", "read", "line", "step"),
    [("winding_resistance", "0.04 ohm", "0.8 % + 3 digits, 0.1 ohm", "0.1 ohm"),
     ("voltage_drop", "3 mV", "0.8 % + 3 digits, 0.01 V", "10 mV"),
     ("parasitic_current", "3 mA", "1 % + 3 digits, 10 mA", "10 mA")],
)  # fmt: skip
def test_what_the_display_cannot_show_is_refused(name, read, line, step):
    words = (
        f"A reading of {read} is below one step of the display, {step}: it cannot show that. "
        "Look at the display's unit and point, or name the finer range that it was read in."
    )
    assert refused(judged, QUANTITIES[name], read=read, meter=line, limits="max 0.5 " + read.split()[1], zero="") == {
        "read": words
    }


def test_one_step_of_a_display_and_half_a_mark_of_a_scale_are_read():
    assert judged(QUANTITIES["voltage_drop"], read="0.1 V", meter="0.8 % + 3 digits, 0.1 V").raw == 0.1
    assert judged(QUANTITIES["runout"], read="0 0.005 mm", meter="± 0.02 mm, 0.01 mm").estimate.value > 0.0


def test_every_quantity_but_those_without_a_model_has_a_row():
    assert set(QUANTITIES) - set(REFUSED) == {"winding_resistance"}


def test_every_bound_belongs_to_something():
    assert set(READ) | set(JUDGED) <= set(QUANTITIES)
    asks = {name for one in QUANTITIES.values() for ask in one.asks for name in (ask.name, f"{one.name}.{ask.name}")}
    assert set(ASKED) <= asks


@pytest.mark.parametrize("name", QUANTITIES)
def test_all_that_is_wrong_is_said_at_once(name):
    quantity = QUANTITIES[name]
    wrong = {ask.name: "no such thing" for ask in quantity.asks}
    assert set(refused(judged, quantity, **(wrong or {"read": "no such thing"}))) == set(wrong or {"read"})


@pytest.mark.parametrize("name", READ)
def test_the_bound_is_let_pass_and_told_in_the_unit_that_was_written(name):
    bound, quantity = READ[name], QUANTITIES[name]
    assert bound.holds(bound.most)
    assert not bound.holds(1.001 * bound.most)
    assert replace(bound, signed=True).holds(-bound.most)
    assert quantity.reads is not units.Kind.TEMPERATURE
