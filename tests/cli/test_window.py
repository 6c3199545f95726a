"""The command `window`: logs and typed readings in, moments counted from the last reading out."""

import json
import subprocess
import sys
import time
from pathlib import Path

import pytest
from tests.acts.fluid_jobs import Kept
from tests.patience import LONGEST_S

from knowngood import cli
from knowngood.acts.fluids.warm_ups import warming

LOG = "time;gearbox oil;rpm\n0;24;800;\n60;27;810;\n120;30;;\n180;33;\n"
SHEET = Path(__file__).parents[1] / "sheets/good/levels.yaml"
BAND = ["--band", "35..45 °C"]


@pytest.fixture
def log(tmp_path):
    file = tmp_path / "warm.csv"
    file.write_text(LOG)
    return file


def answered(capsys):
    return json.loads(capsys.readouterr().out)


def test_a_log_as_json(log, capsys):
    assert cli.main(["window", str(log), *BAND, "--json"]) == 0
    told = answered(capsys)
    assert told["state"] == "heating"
    assert 0.0 < told["opens_s"]["p10"] < told["opens_s"]["p50"] < told["opens_s"]["p90"]
    assert told["opens_s"]["p50"] < told["closes_s"]["p50"]
    assert 5.0 <= told["read_again_s"] <= told["opens_s"]["p10"]


def test_typed_readings_say_the_same_as_their_log(log, capsys):
    typed = ["0 min 24 °C", "1 min 27 °C", "2 min 30 °C", "3 min 33 °C"]
    assert cli.main(["window", *BAND, "--json", *(part for one in typed for part in ("--reading", one))]) == 0
    by_hand = answered(capsys)
    cli.main(["window", str(log), *BAND, "--json"])
    by_log = answered(capsys)
    assert (by_hand["opens_s"], by_hand["closes_s"]) == (by_log["opens_s"], by_log["closes_s"])


def test_columns_are_named_by_the_person(tmp_path, capsys):
    file = tmp_path / "two.csv"
    file.write_text("clock,intake,oil (°F)\n12:00:00,20,75.2\n12:01:00,20,80.6\n12:02:00,20,86\n")
    assert cli.main(["window", str(file), *BAND, "--time", "clock", "--temperature", "oil (°F)", "--json"]) == 0
    assert answered(capsys)["last_reading"]["celsius"] == pytest.approx(30.0)


def test_a_log_as_spreadsheets_save_it(log, tmp_path, capsys):
    file = tmp_path / "unicode.txt"
    file.write_text(LOG.replace(";", "\t"), encoding="utf-16")
    assert cli.main(["window", str(file), *BAND, "--json"]) == 0
    assert cli.main(["window", str(log), *BAND, "--json"]) == 0
    one, other = (json.loads(line) for line in capsys.readouterr().out.splitlines())
    assert one["opens_s"] == other["opens_s"]


def test_in_words(log, capsys):
    assert cli.main(["window", str(log), *BAND]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0] == "◇ Be ready: 33 °C at the last reading."
    assert lines[2].startswith("Opens 0:")
    assert any(line.startswith("Read it again 0:") for line in lines)


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["--reading", "0 min 24 °C, 1 min 300 °C"],
         "--reading: 300 °C is no temperature of a fluid in a vehicle. Check it, and °C or °F."),
        (["--reading", "0 min 24 °C, 1 min -100 °C"],
         "--reading: -100 °C is no temperature of a fluid in a vehicle. Check it, and °C or °F."),
        (["--reading", "1 min 24 °C", "--reading", "0 min 27 °C"],
         '--reading: "0 min 27 °C" is not later than "1 min 24 °C". Write the earliest first, each with the time since '
         'the first, such as "0 min 62 °C, 5 min 55 °C".'),
        ([], '--reading: give a log, or readings such as --reading "0 min 24 °C", not both.'),
        (["--reading", "0 min 24 °C", "--read-with", "thumb"],
         '--read-with: "thumb" is none of these: display, probe, infrared.'),
    ],
)  # fmt: skip
def test_what_cannot_be_used_is_said(words, sentence, capsys):
    assert cli.main(["window", *BAND, *words]) == 2
    assert capsys.readouterr().err == f"{sentence}\n"


def test_a_window_of_volts_is_refused(log, capsys):
    assert cli.main(["window", str(log), "--band", "35..45 V"]) == 2
    assert capsys.readouterr().err.startswith('--band: "35..45 V" is a voltage; ')


def test_two_units_in_one_column_are_refused_with_their_line(tmp_path, capsys):
    file = tmp_path / "mixed.csv"
    file.write_text("time,oil\n0,24 °C\n60,80 °F\n")
    assert cli.main(["window", str(file), *BAND]) == 2
    assert "mixed.csv: line 3: °F in a column of °C." in capsys.readouterr().err


def test_a_log_that_is_not_there_is_said(tmp_path, capsys):
    assert cli.main(["window", str(tmp_path / "none.csv"), *BAND]) == 2
    assert capsys.readouterr().err.endswith("none.csv: no such file or directory. Give the log's name and folder.\n")


@pytest.fixture
def grows(monkeypatch):
    """Lets a log grow by the next of some texts each time that whoever follows it waits."""

    def growing(file, *texts):
        rest = iter(texts)
        monkeypatch.setattr(time, "sleep", lambda _: file.write_text(file.read_text() + next(rest)))

    return growing


def test_a_logger_that_has_just_begun_is_waited_for(tmp_path, grows, capsys):
    file = tmp_path / "warm.csv"
    file.write_text("")
    grows(file, "time;gearbox oil\n0;3", "7\n30;46\n")
    assert cli.main(["window", str(file), *BAND, "--follow", "--json"]) == 0
    assert answered(capsys)["state"] == "past"


def test_a_log_is_followed_as_it_grows_until_the_window_is_past(log):
    command = [sys.executable, "-m", "knowngood", "window", str(log), *BAND, "--follow", "--json"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as following:
        assert json.loads(following.stdout.readline())["state"] == "heating"
        for seconds, celsius in ((240, 37), (300, 47)):
            with log.open("a") as file:
                file.write(f"{seconds};{celsius};;\n")
            if celsius == 37:
                assert json.loads(following.stdout.readline())["state"] == "in"
        assert json.loads(following.stdout.readline())["state"] == "past"
        assert following.wait(LONGEST_S) == 0


def test_a_log_is_kept_in_a_job_each_temperature_once(log, tmp_path, capsys):
    kept = Kept(tmp_path, SHEET.read_text())
    place = str(kept.garage.folder)
    assert cli.main(["window", str(log), *BAND, "--garage", place, "--circuit", "gearbox", "--json"]) == 0
    assert [one.data["celsius"] for one in kept.job.state.temperatures] == [24.0, 27.0, 30.0, 33.0]
    told, alone = warming(kept.job, "gearbox"), answered(capsys)
    assert told.window.opens.p50 == pytest.approx(alone["opens_s"]["p50"], rel=0.01)


def test_a_log_whose_clock_starts_anew_goes_on_being_kept(log, tmp_path, grows):
    kept = Kept(tmp_path, SHEET.read_text())
    grows(log, "0;44;;\n30;46;;\n")
    place = ["--garage", str(kept.garage.folder), "--circuit", "gearbox"]
    assert cli.main(["window", str(log), *BAND, *place, "--follow"]) == 0
    assert [one.data["celsius"] for one in kept.job.state.temperatures] == [24.0, 27.0, 30.0, 33.0, 44.0, 46.0]
