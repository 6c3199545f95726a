"""The pages on how things are worked out are what the program makes of them now."""

import re
from pathlib import Path
from xml.etree import ElementTree

import pytest

from knowngood import cli

ROOT = Path(__file__).parent.parent
DOCS = ROOT / "docs"
PICTURE_ID = re.compile(r"\bh[0-9a-f]{8}\b")
NUMBER = re.compile(r"-?(?:\d+\.?\d*|\.\d+)")
# Written to a tenth of a pixel, each from the one before it: both may round the other way.
STEPS_PX = 0.21
NAMES = ("reading_page", "fluids_page")


@pytest.fixture(scope="module")
def pages():
    """Each page as it is made now, by the name of its module."""
    with pytest.MonkeyPatch.context() as patch:
        patch.syspath_prepend(str(DOCS))
        import fluids_page
        import reading_page

        yield {one.__name__: one.page(DOCS) for one in (reading_page, fluids_page)}


@pytest.mark.parametrize("name", NAMES)
def test_a_page_and_its_pictures_are_as_the_program_makes_them(pages, name):
    made = pages[name]
    kept = (DOCS / f"{made.name}.md").read_text(encoding="utf-8")
    assert made.text == kept, f"docs/{made.name}.md is old: run ./dev docs."
    for file, svg in made.pictures.items():
        ElementTree.fromstring(svg)
        assert f"(pictures/{file})" in made.text
        assert _same(svg, (DOCS / "pictures" / file).read_text(encoding="utf-8")), f"{file} is old: run ./dev docs."


def _same(drawn, kept):
    """The same picture: another numpy moves a line by a step of what is written, which nobody sees."""
    (words, numbers), (kept_words, kept_numbers) = _apart(drawn), _apart(kept)
    return words == kept_words and numbers == pytest.approx(kept_numbers, abs=STEPS_PX)


def _apart(svg):
    """What is written but numbers, and the numbers; a name that is made of the content counts for neither."""
    named = PICTURE_ID.sub("name", svg)
    return NUMBER.sub("0", named).split(), [float(number) for number in NUMBER.findall(named)]


def test_a_picture_that_moved_by_more_than_a_step_is_another():
    assert _same('<g id="h12345678"><path d="M1 2.5s-.1 3"/></g>', '<g id="hefb61488"><path d="M1 2.4s-.2 3"/></g>')
    assert not _same('<path d="M1 2.5"/>', '<path d="M1 2.9"/>')
    assert not _same('<path d="M1 2.5"/>', '<path d="M1 2.5z"/>')
    assert not _same("<text>80</text>", "<text>81</text>")


def test_no_picture_is_left_over(pages):
    drawn = [file for made in pages.values() for file in made.pictures]
    assert sorted(drawn) == sorted(path.name for path in (DOCS / "pictures").glob("*.svg"))


def test_the_terminals_commands_on_fluids_work_as_they_stand(pages, monkeypatch, capsys):
    import fluids_example
    import parts

    text = pages["fluids_page"].text
    commands = [one.partition("\n\n")[0] for one in text.split("\n    ./dev run ")[1:]]
    assert sorted(one.split()[0] for one in commands) == ["fluids", "window", "window"]
    monkeypatch.chdir(ROOT)
    with fluids_example.garage() as (_, folder):
        monkeypatch.setattr("knowngood.acts.job.garage.default_folder", lambda: folder)
        for one in commands:
            assert cli.main(parts.arguments(f"./dev run {one}")) == cli.DONE
            printed = capsys.readouterr().out.splitlines()
            assert "\n".join(f"    {line}".rstrip() for line in printed) in text


def test_the_example_log_says_itself_that_it_is_invented(capsys):
    log = DOCS / "example-warm-up.csv"
    first, *rest = log.read_text(encoding="utf-8").splitlines()
    assert first.startswith("# Invented")
    assert cli.main(["window", str(log), "--band", "35..45 °C"]) == 0
    assert f'temperature from "{rest[0].split(";")[1]}"' in capsys.readouterr().out
