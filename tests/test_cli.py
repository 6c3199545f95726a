"""The terminal: what it prints, and its exit codes."""

import json
import shutil
import socket
import subprocess
import sys

import jsonschema
import pytest

from knowngood import cli
from knowngood.acts.job.garage import open_garage
from knowngood.demo import runs_hot

JUDGE = [
    "judge", "--limits", "80..95 ohm", "--at", "20 °C", "--read", "100.9 101.2 101.1 ohm", "--zero", "0.4 ohm",
    "--part", "48 ± 4 °C", "--conductor", "copper", "--meter", "0.8 % + 3 digits, 0.1 ohm",
]  # fmt: skip


def test_a_verdict_in_two_lines_with_a_picture(capsys):
    assert cli.main(JUDGE) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0] == "● Within limits: 90.7 ± 1.7 ohm at 20 °C; allowed 80–95 ohm."
    assert lines[1] == "Read warm, through the leads, it looks too high. At 20 °C it is within 80–95 ohm."
    assert "▒" in lines[3]


def test_a_verdict_as_json(capsys):
    assert cli.main([*JUDGE, "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert set(found["estimate"]) == {
        "value", "unit", "standard_uncertainty", "degrees_of_freedom", "coverage_factor", "expanded_uncertainty",
        "interval95",
    }  # fmt: skip
    assert found["verdict"] == "within limits"
    assert all(set(row) == {"name", "contribution", "assumed"} for row in found["budget"])


@pytest.fixture
def demo_garage(tmp_path, demo_folder):
    return str(shutil.copytree(demo_folder, tmp_path / "garage"))


BATTERY = ["judge", "--limits", "min 12.4 V", "--read", "12.43 V"]


def test_with_a_garage_its_instruments_are_known_by_name_and_its_prices_count(demo_garage, capsys):
    assert cli.main([*BATTERY, "--garage", demo_garage, "--meter", runs_hot.VOLTS, "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["assumed"] == ["how far such readings usually scatter, about 0.008 V (ours)"]
    assert {one["remedy"]: one["money"] for one in found["settle"]}["Borrow or buy a meter with 0.001 V steps"] == 39.0


def test_with_a_garage_its_other_instruments_may_settle_it(demo_garage, capsys):
    assert cli.main([*BATTERY, "--garage", demo_garage]) == 0
    assert f"Read it with your {runs_hot.VOLTS}" in capsys.readouterr().out
    assert cli.main(BATTERY) == 0
    assert "Read it with your" not in capsys.readouterr().out


def test_an_instrument_that_the_garage_does_not_have_is_wrong_use(demo_garage, capsys):
    assert cli.main([*BATTERY, "--garage", demo_garage, "--meter", "grey meter"]) == 2
    words = "The toolbox has blue meter; blue meter, volts; blue meter, amps.\n"
    assert capsys.readouterr().err.endswith(words)


def test_a_doubtful_reading_is_an_answer(capsys):
    assert cli.main(["judge", "--limits", "80..95 ohm", "--read", "101 ohm"]) == 0
    assert "Assumed:" in capsys.readouterr().out


def test_a_reading_that_is_none_is_wrong_use(capsys):
    assert cli.main(["judge", "--limits", "80..95 ohm", "--read", "5 V"]) == 2
    words = '--read: "5 V" is a voltage; a resistance belongs here, such as "13.4 ohm".\n'
    assert capsys.readouterr().err == words


def test_a_sheet_with_problems(tmp_path, capsys):
    sheet = tmp_path / "bad.yaml"
    sheet.write_text("sheet: 1\nid: x\ntitle: X\nsteps: []\n", encoding="utf-8")
    assert cli.main(["check", str(sheet), "--json"]) == 1
    (row,) = json.loads(capsys.readouterr().out)
    assert set(row) == {"file", "line", "column", "severity", "code", "message", "step", "place", "answers"}
    assert (row["file"], row["line"], row["severity"]) == ("bad.yaml", 4, "stop")


@pytest.mark.parametrize(
    ("name", "content", "words"),
    [
        ("none.yaml", None, "no such file or directory. Give the path of a job sheet, such as runs_hot.yaml.\n"),
        ("bin.yaml", b"\xff\xfe\x00", "this is not a text file. A job sheet is YAML in UTF-8.\n"),
    ],
)
def test_a_file_that_is_no_sheet(tmp_path, capsys, name, content, words):
    file = tmp_path / name
    if content is not None:
        file.write_bytes(content)
    assert cli.main(["check", str(file)]) == 2
    assert capsys.readouterr().err == f"{file}: {words}"


def test_the_schema_is_a_schema(capsys):
    assert cli.main(["schema"]) == 0
    jsonschema.Draft202012Validator.check_schema(json.loads(capsys.readouterr().out))


def test_the_ledger_of_a_job(demo_garage, capsys):
    assert cli.main(["fluids", "runs-hot", "--garage", demo_garage]) == 0
    assert capsys.readouterr().out.splitlines() == [
        "Coolant",
        "  came out  4.6 L at 31 °C  4.58 ± 0.27 L at 20 °C",
        "4.58 ± 0.27 L are still owed, brought to 20 °C. The level decides, not the jug.",
        "You took out 4.6 L at 31 °C: pour back 4.58 L at 20 °C; litre for litre may be 0.02 L too much.",
        "By what is still owed, have 4.7 L at hand, which is enough 4 times out of 5; "
        "4.8 L is enough 19 times out of 20.",
        "Cheapest: 1 × 5 L for 34; about 0.4 L is left over.",
    ]


@pytest.mark.published("ASHRAE glycol by volume: 3.2e-4/K about 13 °C, 5.4e-4 about 40; by hand .46 % from 20 to 31")
def test_the_ledger_as_json(demo_garage, capsys):
    assert cli.main(["fluids", "runs-hot", "--garage", demo_garage, "--json"]) == 0
    (found,) = json.loads(capsys.readouterr().out)
    (row,) = found["rows"]
    assert set(row) == {"way", "typed", "litre_20", "u", "assumed"}
    assert row["litre_20"] == pytest.approx(4.6 / 1.0046, abs=0.003)
    assert found["owed"]["value"] == row["litre_20"]
    low, high = found["owed"]["interval95"]
    assert low < row["litre_20"] < found["at_hand"]["p80"] < found["at_hand"]["p95"] < high
    against = found["litre_for_litre"]
    assert against["over"]["value"] == pytest.approx(against["plain_l"] - against["pour"]["value"])
    assert found["purchase"]["cans"] == [{"litre": 5.0, "count": 1}]
    assert found["purchase"]["left_over"] == pytest.approx(5.0 - row["litre_20"])


def test_a_garage_without_jobs_says_so(tmp_path, capsys):
    open_garage(tmp_path / "g").store.close()
    assert cli.main(["book", "--garage", str(tmp_path / "g")]) == 2
    assert capsys.readouterr().err == "This garage has 0 jobs (none yet). Say which one.\n"


def test_an_empty_database_is_one_sentence(tmp_path, capsys):
    (tmp_path / "garage.sqlite3").write_bytes(b"")
    assert cli.main(["book", "--garage", str(tmp_path)]) == 1
    assert capsys.readouterr().err.count("\n") == 1


def test_the_terminals_verdict_keeps_off_what_is_slow_to_import():
    script = f"import sys; from knowngood import cli; cli.main({JUDGE!r}); print(sorted(sys.modules), file=sys.stderr)"
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    for slow in ("GTC", "scipy", "typst", "starlette", "pydantic"):
        assert f"'{slow}'" not in done.stderr


def test_a_port_that_is_taken_is_one_sentence(tmp_path, capsys):
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        assert cli.main(["serve", "--garage", str(tmp_path / "g"), "--port", str(port), "--no-browser"]) == 1
    words = f"Port {port} cannot be had: another program may hold it. Give another with --port, or 0.\n"
    assert capsys.readouterr().err == words


@pytest.mark.parametrize(
    ("argv", "words"),
    [
        (["dance"], "knowngood: 'dance' is no command; there are "),
        (["serve", "--port", "x"], "knowngood serve: --port is 'x'; a whole number belongs there. See"),
        (["judge", "--read", "5 ohm"], "knowngood judge: --limits is missing. See knowngood judge --help.\n"),
    ],
)
def test_wrong_use_is_one_sentence(capsys, argv, words):
    with pytest.raises(SystemExit) as ended:
        cli.main(argv)
    assert ended.value.code == 2
    assert capsys.readouterr().err.startswith(words)


def test_a_reader_that_has_read_enough_is_no_crash():
    script = f"from knowngood import cli; raise SystemExit(cli.main({JUDGE!r}))"
    with subprocess.Popen([sys.executable, "-c", script], stdout=subprocess.PIPE, stderr=subprocess.PIPE) as process:
        process.stdout.close()
        assert process.stderr.read() == b""


def test_a_console_without_a_minus_sign_shows_a_hyphen():
    assert "−3 to −1 °C, 80–95 Ω".encode("ascii", errors=cli.NEAREST) == b"-3 to -1 ?C, 80-95 ?"
