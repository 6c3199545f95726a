"""The page on judging is what the program makes of it now."""

from pathlib import Path
from xml.etree import ElementTree

import pytest

DOCS = Path(__file__).parent.parent / "docs"


@pytest.fixture
def made(monkeypatch):
    monkeypatch.syspath_prepend(str(DOCS))
    import reading_page

    return reading_page.page(DOCS)


def test_the_page_and_its_pictures_are_as_the_program_makes_them(made):
    kept = (DOCS / "how-a-reading-is-judged.md").read_text(encoding="utf-8")
    assert made.text == kept, "docs/how-a-reading-is-judged.md is old: run ./dev docs."
    assert {path.name for path in (DOCS / "pictures").glob("*.svg")} == set(made.pictures)
    for name, svg in made.pictures.items():
        ElementTree.fromstring(svg)
        assert f"(pictures/{name})" in made.text
