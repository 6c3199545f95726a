import pytest

from knowngood.checks import Toolbox, ToolMeter
from knowngood.checks.limits import doubtful_share
from knowngood.engine.judgement import Band
from knowngood.engine.measurement.instruments import Meter

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
            'small.yaml:4: "Coil", 12..13 ohm, stays open in 63% of its width with blue (0.8 % + 3 digits of 0.1 ohm). '
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
            'small.yaml:4: "Coil" is read in ohm; the toolbox has nothing that does. A limit needs an instrument that '
            "reads its unit. Borrow one, or add yours to the toolbox.",
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


def test_the_share_follows_the_normal_law(problems):
    # With u constant a value is clear from 1.645 u inside each end, so 2 * 1.645 u / width of the band is open.
    from knowngood.sheet.model import Limit

    limit = Limit.model_validate({"name": "Battery", "band": "10..14 V"})
    share = doubtful_share(Meter("blue", 0.0, 3, 0.1), limit, Band(10.0, 14.0, "V"))
    u = (0.3**2 + 0.05**2) ** 0.5 / 3**0.5
    assert share == pytest.approx(2 * 1.645 * u / 4.0, abs=0.05)
