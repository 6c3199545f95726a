"""A value in words: a doubt wider than the thing itself has no number, on every face."""

import pytest
from tests.acts.toolboxes import boxed

from knowngood import cli
from knowngood.acts.readings.judging import as_json, estimate_json, event_data, judge_typed
from knowngood.acts.readings.sentences import Told, sentence
from knowngood.acts.readings.values import NO_NUMBER, bare_value_words, says_nothing, value_words
from knowngood.engine.judgement import Band, Estimate, Row, Verdict
from knowngood.report.pictures.views import picture_of
from knowngood.web.parts.draw import verdict

WILD = {"quantity": "voltage_drop", "limits": "max 0.2 V", "read": "0.05 0.9 V"}
WILD_WORDS = ["judge", "--quantity", "voltage_drop", "--limits", "max 0.2 V", "--read", "0.05 0.9 V"]


def judged(**typed):
    return judge_typed(typed, reading_id="7", toolbox=boxed())


def test_terminal_page_and_paper_say_it_in_words(capsys):
    data = event_data(judged(**WILD))
    assert value_words(data) == NO_NUMBER
    assert verdict(data)["value_text"] == NO_NUMBER
    assert picture_of(data).description.startswith(f"can't tell: {NO_NUMBER}, allowed")
    assert cli.main(WILD_WORDS) == 0
    printed = capsys.readouterr().out
    assert f"Can't tell: {NO_NUMBER}; allowed at most 0.2 V." in printed
    assert "read again" in printed


@pytest.mark.parametrize(("read", "limits"), [("0.3 °C", "-2..2 °C"), ("0.5 °C", "max 1 °C"), ("32.5 °F", "max 34 °F")])
def test_a_temperature_near_freezing_has_its_number(read, limits):
    """The zero of °C is no absence of anything: iced water read to within 3 °C is known well."""
    found = judged(quantity="contact_temperature", read=read, limits=limits)
    assert " ± " in value_words(event_data(found))


def test_a_repair_that_is_known_so_loosely_gets_no_number_either():
    wild, band = Estimate(0.1, "A", (Row("scatter", 0.4),)), Band(None, 0.05, "A")
    shown = bare_value_words(wild, "mA", band)
    told = Told(
        Verdict.CANT_TELL, 0.4, 0.1, 0.1, None, 0.05, "at most 50 mA", False, "", checks_repair=True, shows=shown
    )  # fmt: skip
    assert says_nothing(wild, band)
    assert sentence(told).startswith(f"Cannot be told yet whether it is mended: {NO_NUMBER}, allowed at most 50 mA.")


@pytest.mark.parametrize("read", ["14.21 V", "14.21 14.24 V", "14.21 14.24 14.22 V"])
def test_the_sentence_and_the_standard_uncertainty_go_together(read):
    """GUM, 6.2.1: the expanded uncertainty is the coverage factor times the standard one."""
    words = {"quantity": "charging_voltage", "limits": "13.8..14.36 V", "meter": "0.1 %, 0.01 V", "read": read}
    found = as_json(judged(**words))["estimate"]
    low, high = found["interval95"]
    assert found["expanded_uncertainty"] == pytest.approx(0.5 * (high - low))
    assert found["coverage_factor"] * found["standard_uncertainty"] == pytest.approx(found["expanded_uncertainty"])
    assert 1.9 < found["coverage_factor"] < 4.4  # from a normal's 1.96 to the 4.30 of two degrees of freedom


def test_what_is_known_exactly_has_no_coverage_factor():
    assert estimate_json(Estimate(3.0, "V"))["coverage_factor"] is None
