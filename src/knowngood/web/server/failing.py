"""What a page does about a fault of the program: it says so in words, keeps the trace in a file, and shows the rest."""

import traceback
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeVar

from knowngood.acts.job.garage import Garage
from knowngood.store.errors import StoreError

T = TypeVar("T")
Otherwise = TypeVar("Otherwise")
LOG = "faults.log"
# Ours: some hundred faults; of a log that has grown larger the older part goes.
MOST_BYTES = 1_000_000


@dataclass
class Failed:
    """Parts of a page that could not be drawn, and where the computer keeps what happened."""

    garage: Garage
    parts: list[str] = field(default_factory=list)
    log: str = ""

    @property
    def words(self) -> str:
        """What the page says of them; nothing when all were drawn."""
        names = "; ".join(dict.fromkeys(self.parts))
        return f"A fault of the program: this page cannot show {names}. What it shows stands." if names else ""


_PAGE: ContextVar[Failed | None] = ContextVar("page", default=None)


@contextmanager
def page_of(garage: Garage) -> Iterator[None]:
    """While a page is drawn, a part of it that fails is named on it instead of taking the whole page along."""
    before = _PAGE.set(Failed(garage))
    try:
        yield
    finally:
        _PAGE.reset(before)


def failed_parts() -> Failed | None:
    """What could not be drawn of the page at hand, by now; None where no page is drawn."""
    return _PAGE.get()


def part(about: str, draw: Callable[[], T], otherwise: Otherwise) -> T | Otherwise:
    """Draw a part of a page; where that fails, the page names it and gets `otherwise`.

    Args:
        about: What is missing then, in the mechanic's words, such as "the gearbox".
        draw: Makes the part.
        otherwise: What the page can do without it.
    """
    page = _PAGE.get()
    if page is None:
        return draw()
    try:
        return draw()
    except StoreError:  # trouble with the garage's own folder is no fault of the program, and is said as that
        raise
    except Exception as fault:  # noqa: BLE001 - whatever it is: the page names the part, the log keeps the trace
        page.log = keep_trace(page.garage, fault, about)
        page.parts.append(about)
        return otherwise


def each(rows: Iterable[tuple[str, Callable[[], T | None]]]) -> list[T]:
    """Draw rows of a page, each with what it is about; what fails is left out and named, what is None is not there."""
    return [row for about, draw in rows if (row := part(about, draw, None)) is not None]


def keep_trace(garage: Garage, fault: BaseException, about: str) -> str:
    """Write what happened behind the log of the garage; return the file's name, "" where it cannot be written."""
    file = garage.folder / LOG
    trace = "".join(traceback.format_exception(fault))
    try:
        _shorten(file)
        with file.open("a", encoding="utf-8") as log:
            log.write(f"{garage.now()} {about}\n{trace}\n")
    except OSError:  # a disk that is full or may not be written to: the page says that there is no file
        return ""
    return str(file)


def _shorten(file: Path) -> None:
    if file.exists() and file.stat().st_size > MOST_BYTES:
        file.write_bytes(file.read_bytes()[-MOST_BYTES // 2 :])
