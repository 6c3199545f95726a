"""Whatever a command opens, it closes: also when it ends in a refusal."""

import sqlite3

import pytest

from knowngood import cli
from knowngood.store import opening

JUDGE = ["judge", "--limits", "80..95 ohm", "--read", "90 ohm", "--quantity", "winding_resistance"]
COMMANDS = {
    "book": ["book", "runs-hot", "--json"],
    "a job that is not there": ["book", "nobody"],
    "fluids": ["fluids", "runs-hot"],
    "readings": ["readings", "runs-hot"],
    "suspects": ["suspects", "--job", "runs-hot"],
    "decide": ["decide", "--job", "runs-hot"],
    "judge": [*JUDGE, "--meter", "blue"],
    "verify": ["verify"],
    "check": ["check", "SHEET"],
    "window": ["window", "LOG", "--band", "35..45 °C", "--job", "runs-hot", "--circuit", "coolant"],
}


@pytest.mark.parametrize("command", COMMANDS.values(), ids=COMMANDS)
def test_no_connection_is_left_open(command, demo_garage, tmp_path, monkeypatch, capsys):
    made, connect = [], opening.connect

    def counted(*arguments):
        made.append(connect(*arguments))
        return made[-1]

    monkeypatch.setattr(opening, "connect", counted)
    (tmp_path / "LOG").write_text("time,temp\n0,24\n60,26\n120,28\n")
    (tmp_path / "SHEET").write_text(demo_garage.job("runs-hot").state.sheet)
    named = [str(tmp_path / word) if word in ("LOG", "SHEET") else word for word in command]
    cli.main([*named, "--garage", str(demo_garage.folder)])
    capsys.readouterr()
    assert made
    for connection in made:
        with pytest.raises(sqlite3.ProgrammingError, match="closed"):
            connection.execute("SELECT 1")
