"""What runs before a change lands: a failure in any part of it counts, and a share of the tests is always the same."""

import os
import shutil
import subprocess
import sys
from collections import namedtuple
from pathlib import Path

import pytest
from tests.conftest import LONG_ONES, shared

CI = Path(__file__).parent.parent / ".ci"
Item = namedtuple("Item", "path nodeid")
PARTS = {"newer": ("dev lint",), ".venv-newer/bin/python": ("-m pytest",), "python3": ("dev test",)}
ITEMS = [Item(f"test_{file}.py", f"test_{file}.py::test_{number}") for file in range(40) for number in range(file + 1)]


@pytest.mark.skipif(os.name == "nt", reason="a script of the shell")
@pytest.mark.parametrize("failing", [None, *PARTS])
def test_a_failure_in_any_part_counts_and_every_part_runs(tmp_path, failing):
    shutil.copytree(CI, tmp_path / ".ci")
    for name in PARTS:
        stand_in(tmp_path / name, tmp_path / "newer", code=3 if name == failing else 0)
    environment, command = {"PATH": f"{tmp_path}:{os.environ['PATH']}"}, [tmp_path / ".ci/run", "--long"]
    done = subprocess.run(command, env=environment, capture_output=True, text=True, check=False)
    assert done.returncode == (3 if failing else 0), done.stderr
    ran = (tmp_path / "ran").read_text().splitlines()
    assert [line for line in ran if "--version" not in line and "other_python" not in line] == [
        "newer dev lint",
        "python -m pytest --numprocesses=auto --share 3 --ignore tests/browser --long",
        "python3 dev test --long",
    ]


def stand_in(place, newer, *, code):
    """A Python that notes what it was asked for, names the newer one when asked, and ends with a code."""
    place.parent.mkdir(parents=True, exist_ok=True)
    place.write_text(
        f'#!/bin/sh\necho "$(basename "$0") $*" >> {newer.parent}/ran\n'
        f'case "$*" in *other_python*) echo {newer};; --version) ;; *) exit {code};; esac\n'
    )
    place.chmod(0o755)


@pytest.mark.skipif(os.name == "nt", reason="a script of the shell")
def test_the_newest_finished_python_with_pip_is_taken(tmp_path):
    answers = {"python3.9": "3 9 9", "python3.12": "3 12 1", "python3.13": "3 13 0", "python3.99": ""}
    for name, answer in answers.items():
        (tmp_path / name).write_text(f"#!/bin/sh\necho {answer}\n")
        (tmp_path / name).chmod(0o755)
    (tmp_path / "python3.13-config").write_text("#!/bin/sh\necho 3 14 0\n")
    asked = subprocess.run(
        [sys.executable, CI / "other_python.py"],
        env={"PATH": str(tmp_path), "HOME": str(tmp_path)},
        capture_output=True,
        text=True,
        check=True,
    )
    newest = "python3.12" if sys.version_info[:2] == (3, 13) else "python3.13"
    assert asked.stdout == f"{tmp_path / newest}\n"


def test_a_share_is_about_that_many_and_at_least_one_of_each_file():
    kept = shared(ITEMS, 3)
    assert {item.path for item in kept} == {item.path for item in ITEMS}
    assert len(kept) == pytest.approx(len(ITEMS) / 3, rel=0.15)
    assert kept == shared(ITEMS, 3) == [item for item in ITEMS if item in kept]


def test_another_test_beside_it_changes_nothing_of_a_share_but_the_one_that_a_file_needs():
    changed = set(shared(ITEMS, 3)) ^ set(shared([*ITEMS, Item("test_3.py", "test_3.py::test_new")], 3))
    assert {item.path for item in changed} <= {"test_3.py"}


def test_of_the_long_ones_a_share_takes_one_test_each():
    path = min(LONG_ONES)
    long_ones = [Item(path, f"{path}::test_{number}") for number in range(30)]
    assert len([item for item in shared([*ITEMS, *long_ones], 3) if item.path == path]) == 1


def test_each_long_one_is_there():
    assert [path for path in sorted(LONG_ONES) if not (CI.parent / path).exists()] == []
