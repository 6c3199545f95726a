"""Print the newest Python from 3.12 up, with pip, that is another than the one that runs this; nothing without one."""

import os
import re
import subprocess
import sys
from pathlib import Path

OLDEST = (3, 12)
# A name in PATH may lead to a version that is switched off, and a Python may come without pip: each is asked.
QUESTION = "import sys, pip; print(*sys.version_info[:3]) if sys.version_info.releaselevel == 'final' else None"
NAME = re.compile(r"python3\.\d+")
TIMEOUT_S = 60


def main() -> None:
    """Ask each candidate, and name the newest."""
    versions = {candidate: version(candidate) for candidate in candidates()}
    fit = {path: found for path, found in versions.items() if found >= OLDEST and found[:2] != sys.version_info[:2]}
    if fit:
        print(max(fit, key=lambda path: fit[path]))


def candidates() -> list[Path]:
    """Pythons in PATH, and those of the home folder's version manager."""
    folders = [Path(folder) for folder in os.environ.get("PATH", "").split(os.pathsep) if folder]
    in_path = [path for folder in folders for path in folder.glob("python3.*") if NAME.fullmatch(path.name)]
    return [*in_path, *Path.home().glob(".pyenv/versions/*/bin/python")]


def version(python: Path) -> tuple[int, ...]:
    """Three numbers; none where it does not run, has no pip, or is no finished release."""
    command = [str(python), "-c", QUESTION]
    try:
        asked = subprocess.run(command, capture_output=True, text=True, check=False, timeout=TIMEOUT_S)
    except (OSError, subprocess.TimeoutExpired):
        return ()
    return tuple(int(part) for part in asked.stdout.split() if part.isdigit())


if __name__ == "__main__":
    main()
