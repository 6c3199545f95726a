"""Class figures of instruments whose data sheet is lost."""

import pytest

from knowngood.engine.measurement.meters.checking import allowed_error
from knowngood.engine.measurement.meters.classes import PRESETS, meter_of
from knowngood.engine.measurement.readings.plain import plain_quantity


def meter(key, line=0, span=None):
    preset = PRESETS[key]
    return meter_of(preset.lines[line], name=key, assumed=preset.ours, span=span)


@pytest.mark.published("DIN 862, caliper: 20 µm by 0.02 mm or digital, 50 µm by 0.05 mm, as reprinted")
def test_calipers():
    assert [allowed_error(meter(one), 10.0) for one in ("caliper", "vernier")] == [0.02, 0.05]


@pytest.mark.published("DIN 863-1, micrometer 0 to 50 mm: 4 µm, as reprinted")
def test_micrometer():
    assert allowed_error(meter("micrometer"), 25.0) == 0.004


@pytest.mark.published("EN 837-1: the class of a gauge is a percentage of its span, as reprinted")
@pytest.mark.parametrize(("key", "percent"), [("pressure_gauge", 2.5), ("vacuum_gauge", 2.5), ("fine_gauge", 1.0)])
@pytest.mark.parametrize("reading", [0.0, 50.0, 100.0])
def test_gauges_are_off_by_a_share_of_their_span_wherever_they_stand(key, percent, reading):
    assert allowed_error(meter(key, span=100.0), reading) == pytest.approx(percent)


@pytest.mark.published(
    "IEC 60584, type K, class 2: ± 2.5 °C, or 0.0075 of the temperature from 333 °C up, as reprinted"
)
@pytest.mark.parametrize(("celsius", "probe"), [(20.0, 2.5), (333.0, 2.5), (400.0, 3.0)])
def test_contact_thermometer(celsius, probe):
    display = 10 * 0.1
    assert allowed_error(meter("contact"), celsius) == pytest.approx(probe + display, abs=0.005)


@pytest.mark.published("infrared thermometers, ± 2 % or ± 2 °C, the greater: common practice, no source")
@pytest.mark.parametrize(("celsius", "off"), [(20.0, 2.0), (100.0, 2.0), (150.0, 3.0)])
def test_infrared_thermometer(celsius, off):
    assert allowed_error(meter("infrared"), celsius) == pytest.approx(off)


@pytest.mark.published("ASTM E1272, class B measuring cylinder of 500 mL: 4.0 mL")
def test_measuring_cylinder():
    assert allowed_error(meter("cylinder"), 0.3) == pytest.approx(0.004)


@pytest.mark.published(
    "low-cost meters, ranges of 200 and 400 ohm, 0.8 % + 5 digits of 0.1 ohm: common practice, no source"
)
def test_multimeter():
    assert PRESETS["multimeter"].lines[0].upper == 400.0
    assert allowed_error(meter("multimeter"), 100.0) == pytest.approx(0.8 + 0.5)


def test_a_jug_of_ours_is_off_by_five_percent_and_half_a_mark():
    found = plain_quantity([4.0], unit="L", meter=meter("vessel"))
    rows = {row.key: row.input_uncertainty * 3**0.5 for row in found.rows}
    assert rows == pytest.approx({"meter:vessel/gain": 0.05, "reading:reading/step": 0.05})


def test_between_two_leaves_lies_half_a_step():
    found = plain_quantity([0.225], unit="mm", meter=meter("feeler"))
    rows = {row.key: row.input_uncertainty * 3**0.5 for row in found.rows}
    assert rows == pytest.approx({"reading:reading/digits": 0.005, "reading:reading/step": 0.025})


@pytest.mark.parametrize("key", PRESETS)
def test_every_kind_has_a_figure_a_step_and_a_word(key):
    preset = PRESETS[key]
    assert preset.key == key
    assert preset.title
    for line in range(len(preset.lines)):
        found = meter(key, line, span=100.0)
        assert found.step > 0.0
        assert allowed_error(found, 1.0) > 0.0
        assert found.assumed is preset.ours


def test_ranges_of_one_unit_rise_and_their_step_with_them():
    lines = PRESETS["multimeter"].lines
    for unit in ("ohm", "V", "A"):
        mine = [(one.upper, one.step) for one in lines if one.unit == unit]
        assert mine == sorted(mine)
        assert len(set(mine)) > 1


@pytest.mark.parametrize("span", [None, 0.0, -5.0])
def test_a_class_without_its_scale_is_refused(span):
    with pytest.raises(ValueError, match="share of its whole scale") as refused:
        meter("pressure_gauge", span=span)
    assert str(refused.value) == (
        "a gauge's class is a share of its whole scale, and the scale is not stated. "
        "Write its lowest and highest mark, such as 0..10 bar."
    )
