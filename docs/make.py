"""Write the pages of docs/ that are made: validation.md from the tests, the two on how things are worked out."""

import re
import subprocess
import sys
from pathlib import Path

import fluids_page
import reading_page

DOCS = Path(__file__).parent
HEAD = """# What it was checked against

Made by `./dev docs` from the tests: each row is a document, and the checks that compare with what it prints.
"From memory" and "ours" are said where they apply.
"""


LISTED_NOTHING_RUN = 5  # pytest's code when it was asked to list and so ran no test


def main() -> None:
    """Write the pages and their pictures."""
    (DOCS / "validation.md").write_text(validation(), encoding="utf-8")
    for made in (reading_page.page(DOCS), fluids_page.page(DOCS)):
        (DOCS / f"{made.name}.md").write_text(made.text, encoding="utf-8")
        for name, svg in made.pictures.items():
            (DOCS / "pictures" / name).write_text(svg, encoding="utf-8")


def validation() -> str:
    """Ask pytest for the list of documents, as a page."""
    command = [sys.executable, "-m", "pytest", "--list-published"]
    listed = subprocess.run(command, cwd=DOCS.parent, capture_output=True, text=True, check=False)
    if listed.returncode != LISTED_NOTHING_RUN:
        sys.exit(listed.stdout + listed.stderr)
    rows = re.findall(r"^(\S.*): (\d+)\n {4}(\S+?)::", listed.stdout, re.MULTILINE)
    table = [f"| {document} | {count} | `{file}` |" for document, count, file in rows]
    return "\n".join([HEAD, "| document | checks | where |", "|---|---|---|", *table, ""])


if __name__ == "__main__":
    main()
