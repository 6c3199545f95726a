"""The command `stands`."""

import json

from tests.garages import opened

from knowngood.cli import main


def test_it_names_what_stands_open_with_job_and_step(tmp_path, demo_folder, capsys):
    with opened(tmp_path / "garage", like=demo_folder):
        assert main(["stands", "--garage", str(tmp_path / "garage")]) == 0
        told = capsys.readouterr().out
        assert main(["stands", "--garage", str(tmp_path / "garage"), "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert any(words.startswith("Coolant drained since") for words in found["Ondrelle Tavrick"])
    assert all(words in told for words in found["Ondrelle Tavrick"])
    assert "Fennimar Oskelt:" in told
