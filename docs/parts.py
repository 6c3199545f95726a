"""What the made pages share: a page, its tables, pictures as files, and answers of the terminal."""

import contextlib
import io
import shlex
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from string import Template

from knowngood import cli
from knowngood.report.pictures.picture import standalone


@dataclass(frozen=True)
class Page:
    """A page's name and text, and its pictures by file name."""

    name: str
    text: str
    pictures: Mapping[str, str]


def made(docs: Path, name: str, words: Mapping[str, str], drawn: Mapping[str, str]) -> Page:
    """A page from its template; every word of it is known, or it is not made."""
    template = Template((docs / f"{name}.template.md").read_text(encoding="utf-8"))
    return Page(name, template.substitute(words), {file: alone(svg) for file, svg in drawn.items()})


def alone(svg: str) -> str:
    """A picture as a file of its own: with its colours, a size, and paper behind it, for pages that are dark."""
    own = standalone(svg)
    size = own.split('viewBox="0 0 ', 1)[1].split('"', 1)[0].split()
    own = own.replace("<svg ", f'<svg width="{size[0]}" height="{size[1]}" ', 1)
    paper = "<style>text{font-family:'Atkinson Hyperlegible Next',system-ui,sans-serif}</style>"
    return own.replace("</style>", f'</style>{paper}<rect width="100%" height="100%" fill="#fff"/>', 1) + "\n"


def table(head: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """Rows below their head."""
    lines = [head, ("---",) * len(head), *rows]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines)


def percent(share: float) -> str:
    """A share in whole percent."""
    return f"{100 * share:.0f} %"


def answered(command: str, *hidden: str) -> str:
    """What the terminal prints for a command of the page, indented as the command is.

    Args:
        command: As on the page, over several lines or not.
        hidden: Options for where the page's own garage lies.
    """
    heard = io.StringIO()
    with contextlib.redirect_stdout(heard):
        code = cli.main([*arguments(command), *hidden])
    if code != cli.DONE:
        raise ValueError(f"{command}: exit code {code}")
    return "\n".join(f"    {line}".rstrip() for line in heard.getvalue().splitlines())


def arguments(command: str) -> list[str]:
    """A command of the page without its first two words, ./dev run."""
    return shlex.split(command.replace("\\\n", " "))[2:]
