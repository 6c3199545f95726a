"""Write the pages of docs/ that are made: validation.md from the tests, the two on how things are worked out."""

import re
import subprocess
import sys
from pathlib import Path

import fluids_page
import reading_page

from knowngood.sources import DOCUMENTS

DOCS = Path(__file__).parent
HEAD = """# What it was checked against

Made by `./dev docs` from the tests: each row is a document, and the checks that compare with what it prints, to half
the last digit that it prints. "As reprinted" says that a copy was read and not the document; "from memory" that a value
or a place was recalled; "common practice, no source" that the trade does so and no document was found; "by hand" and
"own derivation" that we worked it out.
"""


BEHIND = """## The documents behind the numbers and formulas

From `src/knowngood/sources.py`; docstrings and comments name them by key.
"""
HOW_READ = {
    "read": "it or a copy was read",
    "repo": "its values in a public repository",
    "run": "computed with a library",
    "memory": "from memory",
}
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
    return "\n".join([HEAD, "| document | checks | where |", "|---|---|---|", *table, "", *documents(), ""])


def documents() -> list[str]:
    """Return the documents that the code's own numbers and formulas come from, as a table."""
    rows = [f"| {one.title} | {one.edition} | {one.place} | {HOW_READ[one.how_read]} |" for one in DOCUMENTS]
    return [BEHIND, "| title | edition | publisher and place | seen |", "|---|---|---|---|", *rows]


if __name__ == "__main__":
    main()
