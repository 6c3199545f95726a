"""Write docs/validation.md from the tests' published marks."""

import subprocess
import sys
from pathlib import Path

DOCS = Path(__file__).parent
HEAD = """# What it was checked against

Made by `./dev docs` from the tests: each row is a document, and the checks that compare with what it prints.
"From memory" and "ours" are said where they apply.

"""


def main() -> None:
    """Ask pytest for the list and write the page."""
    listed = subprocess.run(
        [sys.executable, "-m", "pytest", "--list-published"],
        cwd=DOCS.parent,
        capture_output=True,
        text=True,
        check=False,
    )
    if listed.returncode:
        sys.exit(listed.stdout + listed.stderr)
    (DOCS / "validation.md").write_text(HEAD + listed.stdout)


if __name__ == "__main__":
    main()
