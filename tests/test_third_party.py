"""What others wrote is named with its licence, and goes where the package goes."""

import email
import re
import shutil
import subprocess
import tarfile
import tomllib
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
NOTICE = (ROOT / "THIRD-PARTY.md").read_text(encoding="utf-8")
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
EXPRESSION = "MIT AND OFL-1.1"
FONTS = {".ttf", ".otf", ".woff", ".woff2"}
# Said at the head of a table of ours; of any other table the notice says where its numbers come from.
OURS = "phrases and split are ours"


def kept(*folders):
    """Files of these folders that are in the repository, as paths from its root."""
    for folder in folders:
        for path in sorted((ROOT / folder).rglob("*")):
            if path.is_file() and "__pycache__" not in path.parts:
                yield path.relative_to(ROOT)


def from_others(path):
    """Tell whether it is a font, in a folder for what others wrote, a script with a copyright or a table of others."""
    if path.suffix in {".js", ".css"} and re.search(r"(?i)copyright|licen[sc]e", head(path)):
        return True
    if path.parent.name == "tables" and path.suffix == ".toml":
        return OURS not in head(path)
    return path.suffix in FONTS or "vendor" in path.parts or "LICENSE" in path.name


def head(path):
    return (ROOT / path).read_text(encoding="utf-8")[:2000]


OTHERS = [path.as_posix() for path in kept("src", "tests", "docs", "benchmarks") if from_others(path)]


def test_the_search_finds_each_kind():
    assert {Path(one).suffix for one in OTHERS} >= {".ttf", ".woff2", ".js", ".toml", ".txt"}


@pytest.mark.parametrize("path", OTHERS)
def test_the_notice_names_each_file_of_others(path):
    assert f"`{path}`" in NOTICE, f"THIRD-PARTY.md does not name {path}: say who wrote it and under what licence."


@pytest.mark.parametrize("path", re.findall(r"`((?:src|tests|docs)/[^`]+)`", NOTICE))
def test_each_file_in_the_notice_is_there(path):
    assert (ROOT / path).is_file(), f"THIRD-PARTY.md names {path}, which is not there."


def test_the_project_says_its_licence_and_its_files():
    assert PROJECT["license"] == EXPRESSION
    assert EXPRESSION in NOTICE
    shipped = [one for one in OTHERS if one.startswith("src/") and "LICENSE" in one]
    assert PROJECT["license-files"] == ["LICENSE", "THIRD-PARTY.md", *shipped]
    assert len(shipped) == 2


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    """A wheel and an archive of the source, built without a network."""
    uv = shutil.which("uv", path=ROOT / ".tools" / "bin") or shutil.which("uv")
    if uv is None:
        pytest.skip("uv, which builds the package, is not here; ./dev fetches it")
    folder = tmp_path_factory.mktemp("dist")
    command = [uv, "build", "--quiet", "--offline", "--no-cache", "--out-dir", folder, ROOT]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return folder


def test_the_wheel_carries_the_licences(built):
    with zipfile.ZipFile(next(built.glob("*.whl"))) as wheel:
        names = wheel.namelist()
        inside = next(name for name in names if name.endswith(".dist-info/METADATA"))
        said = email.message_from_bytes(wheel.read(inside))
    assert said["License-Expression"] == EXPRESSION
    assert said.get_all("License-File") == PROJECT["license-files"]
    licences = inside.replace("METADATA", "licenses/")
    assert {licences + one for one in PROJECT["license-files"]} <= set(names)
    for font in (one for one in OTHERS if Path(one).suffix in FONTS):
        assert font.removeprefix("src/") in names


def test_the_archive_of_the_source_carries_the_licences(built):
    with tarfile.open(next(built.glob("*.tar.gz"))) as archive:
        names = {name.partition("/")[2] for name in archive.getnames()}
    assert {*PROJECT["license-files"], "pyproject.toml"} <= names
