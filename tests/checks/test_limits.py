import pytest

from knowngood.checks import Toolbox, ToolMeter
from knowngood.checks.limits import doubtful_share
from knowngood.engine.judgement import Band
from knowngood.engine.measurement.meters.instruments import Meter
from knowngood.quantities.basic import as_shown
from knowngood.sheet.model import Limit
from knowngood.units import Kind

JOB = """
limits: {{coil: {{name: Coil, {limit}}}}}
steps:
  - {{id: read, do: Read, zone: top, time: "1 2 3 min", read: [coil]}}
"""
WIDE = 'band: "80..95 ohm", at: "20 °C", conductor: copper'


def toolbox(*meters, unit="ohm"):
    return Toolbox(meters=tuple(ToolMeter(one, unit) for one in meters))


def job(limit):
    return JOB.format(limit=limit)


BLUE, COARSE = Meter("blue", 0.8, 3, 0.1), Meter("old", 3.0, 5, 0.1)


def test_a_wide_band_can_be_decided(problems):
    assert problems(job(WIDE), toolbox=toolbox(BLUE)) == []


def test_a_band_that_no_reading_is_clearly_within(told):
    assert told(job('band: "12..12.4 ohm"'), "undecidable limit", toolbox=toolbox(BLUE)) == [
        (
            "caution",
            'small.yaml:4: "Coil", 12..12.4 ohm, cannot be decided with blue (0.8 % + 3 digits of 0.1 ohm): the best '
            "reading is good to ± 0.33 ohm, and no value is clearly within. A clear answer is right 19 times out of "
            "20. Borrow a meter of 0.2 % + 3 digits of 0.01 ohm.",
        )
    ]


def test_under_a_safety_rule_it_is_a_stop(told):
    [(severity, _)] = told(job('band: "12..12.4 ohm", rule: safety'), "undecidable limit", toolbox=toolbox(BLUE))
    assert severity == "stop"


def test_where_no_finer_meter_helps(told):
    narrow = 'band: "80..80.3 ohm", at: "20 °C", conductor: copper'
    [(_, words)] = told(job(narrow), "undecidable limit", toolbox=toolbox(BLUE))
    assert words.endswith("A finer meter alone does not decide it: have the part tested, or judge it by exchange.")


def test_a_band_mostly_open(told):
    assert told(job('band: "12..13 ohm"'), "doubtful limit", toolbox=toolbox(BLUE)) == [
        (
            "note",
            'small.yaml:4: "Coil", 12..13 ohm, stays open in 59% of its width with blue (0.8 % + 3 digits of 0.1 ohm). '
            "A clear answer is right 19 times out of 20. A finer meter answers more often; nothing else need change.",
        )
    ]


def test_the_best_of_the_meters_counts(problems):
    fine = Meter("fine", 0.1, 2, 0.01)
    assert problems(job('band: "12..13 ohm"'), toolbox=toolbox(COARSE, fine, BLUE)) == []


def test_no_meter_reads_the_unit(told):
    volts = toolbox(BLUE, unit="V")
    assert told(job(WIDE), "no meter", toolbox=volts) == [
        (
            "caution",
            'small.yaml:4: "Coil" is read in ohm around 80..95 ohm; the toolbox has nothing that does. A limit needs '
            "an instrument that reads its unit, in a range that reaches there. Borrow one, or add yours to the "
            "toolbox.",
        )
    ]


@pytest.mark.parametrize(
    "limit",
    [
        'band: "max 12 ohm"',
        'band: "12..12.4 ohm", rule: {wrong_within: 40, wrong_out: 20}',
        'band: "0..1000 ohm", at: "20 °C"',
    ],
)
def test_one_end_costs_and_a_band_from_zero(problems, limit):
    assert problems(job(limit), toolbox=toolbox(BLUE)) == []


def test_an_unknown_toolbox_tells_nothing(problems):
    assert problems(job('band: "12..12.4 ohm"')) == []


@pytest.mark.parametrize(("answer", "count"), [("12..12.4 ohm", 1), ("8..18 ohm", 0), (None, 0)])
def test_a_limit_of_the_manual_counts_once_it_is_known(told, answer, count):
    body = "asks: {coil: {question: Limits?, answer: limits, like: 11..15 ohm}}\n" + job("band: {ask: coil}").lstrip()
    found = told(body, "undecidable limit", toolbox=toolbox(BLUE), answers={"coil": answer})
    assert len(found) == count


def test_the_share_follows_the_normal_law():
    # With u constant a value is clear from 1.645 u inside each end, so 2 * 1.645 u / width of the band is open.
    limit = Limit.model_validate({"name": "Battery", "band": "10..14 V"})
    share = doubtful_share(
        ToolMeter(Meter("blue", 0.0, 3, 0.1), "V"), as_shown(Kind.VOLTAGE), limit, Band(10.0, 14.0, "V")
    )
    u = (0.3**2 + 0.05**2) ** 0.5 / 3**0.5
    assert share == pytest.approx(2 * 1.645 * u / 4.0, abs=0.05)


GIVEN = (
    "limits: {{drop: {{name: Ground drop, {0}}}}}\nsteps:\n  - {{id: read, do: Read, zone: top, time: '1 2 3 min'}}\n"
)


@pytest.mark.parametrize(
    ("limit", "code", "words"),
    [
        ('band: "max 0.2 V", quantity: voltage_dorp', "unknown quantity",
         '"Ground drop" is judged as "voltage_dorp", which no quantity is called; did you mean "voltage_drop"?'),
        ('band: "max 0.2 V", quantity: xyz', "unknown quantity",
         '"Ground drop" is judged as "xyz", which no quantity is called; knowngood judge --help lists all.'),
        ('band: "max 2 ohm", quantity: voltage_drop', "limits of another kind",
         '"Ground drop" has "max 2 ohm", a resistance; voltage_drop is judged as a voltage, such as 12.6 V. Write '
         "limits of that kind, or another quantity."),
        ('band: "max 0.2 V", quantity: voltage_drop, given: {laod: running}', "not asked",
         '"Ground drop" gives "laod", which voltage_drop does not ask; did you mean "load"?'),
        ('band: "max 0.2 V", quantity: voltage_drop, given: {xyz: running}', "not asked",
         '"Ground drop" gives "xyz", which voltage_drop does not ask; it asks load, load_a, at_load.'),
        ('band: "max 0.2 V", given: {load: running}', "not asked",
         '"Ground drop" gives "load", which as_shown does not ask; it asks nothing. Take the line out.'),
        ('band: "max 0.2 V", quantity: voltage_drop, given: {load: on}', "unreadable given",
         '"Ground drop" gives load: "on" is none of the choices. Take running or off.'),
        ('band: "-60..-50 kPa", quantity: vacuum', "limits that cannot be",
         '"Ground drop": "-60..-50 kPa" cannot be; a vacuum lies from 0 to 105 kPa: it is counted from the '
         'air\'s pressure down, without a sign. Write them without the minus, such as "50..60 kPa".'),
        ('band: "max 20 %", quantity: leak_down_gauges, given: {supply: "690 ± 20"}', "unreadable given",
         '"Ground drop" gives supply: "690 ± 20 kPa" says how far off; a plain number belongs here. Write it without '
         '±, such as "110 kPa".'),
        ('band: "max 1 deg", quantity: tilt_water, given: {distance: "-2600"}', "unreadable given",
         '"Ground drop" gives distance: A distance between the ends of -2600 mm is less than 100 mm: a hose along a '
         "vehicle has another. Check the number and its unit."),
        ('band: "min 9 mm", quantity: disc_thickness, rule: {wrong_within: 90, wrong_out: 60}', "costs against safety",
         '"Ground drop" has two costs, and disc_thickness is a matter of safety: no costs are weighed against it. '
         'Write "rule: safety", or take the costs out.'),
        ('band: "max 0.2 V", quantity: voltage_drop, given: {at_load: many}', "unreadable given",
         '"Ground drop" gives at_load: '),
    ],
)  # fmt: skip
def test_a_quantity_that_does_not_fit_is_a_stop(problems, limit, code, words):
    [found] = problems(GIVEN.format(limit))
    assert (found.code, found.severity.value) == (code, "stop")
    assert found.message.startswith(f"small.yaml:4: {words}")


@pytest.mark.parametrize(
    "limit",
    [
        'band: "max 0.2 V", quantity: voltage_drop, given: {load: running, at_load: "100"}',
        'band: "80..95 ohm", given: {zero: "0.4 ohm", part: "20 ± 5"}',
        'band: "78..84 °C", quantity: thermistor_temperature, given: {r25: "10 kohm", beta: "3435"}',
    ],
)
def test_what_a_quantity_asks_may_be_given(problems, limit):
    assert problems(GIVEN.format(limit)) == []


@pytest.mark.parametrize(
    ("limit", "meter", "unit", "found"),
    [
        ('band: "13.8..14.8 V", quantity: charging_voltage', Meter("blue", 0.5, 2, 0.01), "V", None),
        ('band: "14.2..14.3 V", quantity: charging_voltage', Meter("blue", 0.5, 2, 0.01), "V", "undecidable limit"),
        ('band: "50..100 °C", quantity: thermistor_temperature, given: {r25: "10 kohm", beta: "3435", tolerance: "1"}',
         Meter("blue", 0.8, 3, 1.0), "ohm", None),
        ('band: "80..81 °C", quantity: thermistor_temperature, given: {r25: "10 kohm", beta: "3435", tolerance: "3"}',
         Meter("blue", 0.8, 3, 1.0), "ohm", "undecidable limit"),
        ('band: "20..90 %", quantity: battery_charge, given: {battery: flooded}', Meter("blue", 0.05, 1, 0.01), "V",
         None),
        ('band: "75..80 %", quantity: battery_charge', Meter("blue", 0.5, 2, 0.01), "V", "undecidable limit"),
        ('band: "1..2 deg", quantity: tilt_level, given: {sensitivity: "5"}', Meter("level", 0, 0, 0.1), "mm", None),
        ('band: "75..90 %", quantity: cylinder_spread', Meter("dial", 1, 0, 10), "kPa", "doubtful limit"),
        ('band: "min 75 %", quantity: cylinder_spread', Meter("dial", 1, 0, 10), "kPa", None),
        ('band: "min 96 %", quantity: cylinder_spread', Meter("dial", 1, 0, 10), "kPa", "undecidable limit"),
        ('band: "max 0.02 mm", quantity: thickness_variation', Meter("micrometer", 0, 0, 0.001, 0.002), "mm", None),
        ('band: "max 0.01 mm", quantity: thickness_variation', Meter("caliper", 0, 0, 0.01, 0.02), "mm",
         "undecidable limit"),
        ('band: "max 0.08 mm", quantity: runout', Meter("dial", 0, 0, 0.01, 0.01), "mm", None),
        ('band: "max 0.005 mm", quantity: runout', Meter("dial", 0, 0, 0.01, 0.01), "mm", "undecidable limit"),
        ('band: "max 10 kPa", quantity: cooling_pressure_drop', Meter("gauge", 0, 0, 1, 2), "kPa", None),
        ('band: "max 2 kPa", quantity: cooling_pressure_drop', Meter("gauge", 0, 0, 5, 5), "kPa", "undecidable limit"),
        ('band: "max 1 kPa", quantity: cooling_pressure_drop, given: {over: 5 min}', Meter("gauge", 0, 0, 5, 5), "kPa",
         "undecidable limit"),
        ('band: "max 1 deg", quantity: tilt_water', Meter("ruler", 0, 0, 1), "mm", None),
        ('band: "max 0.05 deg", quantity: tilt_water', Meter("ruler", 0, 0, 1), "mm", "undecidable limit"),
        ('band: "max 20 %", quantity: leak_down_gauges, given: {supply: "600"}', Meter("gauge", 1, 1, 1), "kPa", None),
        ('band: "1.22..1.29 kg/L", quantity: acid_density', Meter("float", 0, 0, 0.005, 0.005), "kg/L", None),
        ('band: "1.26..1.265 kg/L", quantity: acid_density', Meter("float", 0, 0, 0.005, 0.005), "kg/L",
         "undecidable limit"),
    ],
)  # fmt: skip
def test_a_quantity_is_tried_through_its_own_model(problems, limit, meter, unit, found):
    codes = [one.code for one in problems(job(limit), toolbox=toolbox(meter, unit=unit))]
    assert codes == ([found] if found else [])


def test_the_line_whose_range_fits_counts(problems):
    fine, coarse = Meter("blue", 0.1, 2, 0.01), Meter("blue", 3, 5, 1)
    lines = (ToolMeter(fine, "ohm", upper=10.0), ToolMeter(coarse, "ohm", upper=400.0))
    [found] = problems(job('band: "12..13 ohm"'), toolbox=Toolbox(meters=lines))
    assert (found.code, "3 % + 5 digits of 1 ohm" in found.message) == ("undecidable limit", True)
    assert problems(job('band: "8..9 ohm"'), toolbox=Toolbox(meters=lines)) == []
    [found] = problems(job('band: "max 900 ohm"'), toolbox=Toolbox(meters=lines))
    assert found.code == "no meter"


def test_what_a_check_has_shown_counts():
    asked = []
    tool = ToolMeter(BLUE, "ohm", checked=lambda at: asked.append(at) or BLUE)
    limit = Limit.model_validate({"name": "Coil", "band": "80..95 ohm"})
    doubtful_share(tool, as_shown(Kind.RESISTANCE), limit, Band(80.0, 95.0, "ohm"))
    assert sorted(set(asked)) == [80.0, 87.5, 95.0]
