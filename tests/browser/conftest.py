"""A real server process with a demo garage, and a real browser to look at it."""

import os
import re
import socket
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

import pytest
import uvicorn
from playwright.sync_api import Browser, BrowserContext, Page, expect, sync_playwright
from tests.browser.need_chromium import chromium
from tests.garages import opened
from tests.patience import LONGEST_MS, LONGEST_S

from knowngood import web
from knowngood.acts.job.garage import Garage
from knowngood.demo import runs_hot
from knowngood.web.server.app import application
from knowngood.web.server.pairing import Lan, Pairing

ADDRESS = re.compile(r"http://127\.0\.0\.1:\d+")
QUIET = ["--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking"]
QUIET += ["--disable-component-update", "--disable-sync"]
PageFor = Callable[..., Page]
SEND_JS = Path(web.__file__).parent / "static" / "send.js"
PATIENCE_MS = int(re.findall(r"PATIENCE_MS = (\d+);", SEND_JS.read_text(encoding="utf-8"))[0])
# A phone that waits for a slow machine's answer as long as it takes, and does not take it for a lost connection.
PATIENT = """(() => {
  const [timeout, wait] = [AbortSignal.timeout.bind(AbortSignal), setTimeout.bind(window)];
  AbortSignal.timeout = () => timeout(LONGEST);
  window.setTimeout = (does, ms, ...rest) => wait(does, ms === PATIENCE ? LONGEST : ms, ...rest);
})();""".replace("PATIENCE", str(PATIENCE_MS)).replace("LONGEST", str(int(LONGEST_MS)))


def _address(process: subprocess.Popen[str]) -> str:
    """Read what the server prints until it names its address."""
    said = []
    assert process.stdout is not None
    for line in process.stdout:
        said.append(line)
        if found := ADDRESS.search(line):
            return found[0]
    pytest.fail(f"The server ended without naming its address. It said: {''.join(said)!r}")


@contextmanager
def _served(scratch: Path) -> Iterator[str]:
    """Serve a demo garage of its own as `demo` does; yields the address without a slash at the end."""
    command = [sys.executable, "-m", "knowngood", "demo", "--port", "0", "--no-browser"]
    environment = {**os.environ, "TMPDIR": str(scratch), "HOME": str(scratch), "PYTHONUNBUFFERED": "1"}
    with subprocess.Popen(
        command, env=environment, text=True, stdout=subprocess.PIPE, stderr=subprocess.STDOUT
    ) as process:
        try:
            yield _address(process)
        finally:
            process.terminate()
            process.wait(LONGEST_S)


@pytest.fixture(scope="session")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """One demo garage for all that only look."""
    with _served(tmp_path_factory.mktemp("demo")) as address:
        yield address


def now() -> datetime:
    """By the clock of the pages."""
    return datetime.now(UTC)


@pytest.fixture(scope="session")
def filled(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo's garage, filled once."""
    folder = tmp_path_factory.mktemp("filled") / "garage"
    with opened(folder, clock=now) as garage:
        runs_hot.fill(garage)
    return folder


@pytest.fixture
def own_garage(tmp_path: Path, filled: Path) -> Iterator[Garage]:
    """A demo garage of the test's own, to write in."""
    with opened(tmp_path / "knowngood-demo-own", like=filled, clock=now) as garage:
        yield garage


@contextmanager
def _threaded(garage: Garage, listening: list[socket.socket], lan: Lan | None = None) -> Iterator[None]:
    """Serve a garage by a thread, which is there at once."""
    app = application(garage, lan)
    config = uvicorn.Config(app, log_level="warning", lifespan="off", ws="none", proxy_headers=False)
    server = uvicorn.Server(config)
    thread = threading.Thread(target=server.run, kwargs={"sockets": listening})
    thread.start()
    try:
        yield
    finally:
        server.should_exit = True
        thread.join(LONGEST_S)
        app.app.state.worker.stop()


@pytest.fixture
def own_server(own_garage: Garage) -> Iterator[str]:
    """The test's own garage, served on this machine."""
    with socket.create_server(("127.0.0.1", 0)) as listening, _threaded(own_garage, [listening]):
        yield f"http://127.0.0.1:{listening.getsockname()[1]}"


@pytest.fixture
def lan_server(own_garage: Garage) -> Iterator[tuple[str, str]]:
    """The test's own garage, and another address of this machine for phones; nothing outside reaches it."""
    if sys.platform != "linux":
        pytest.skip("only Linux has 127.0.0.2 without being set up")
    with socket.create_server(("127.0.0.1", 0)) as here:
        port = here.getsockname()[1]
        lan = Lan("127.0.0.2", port, Pairing(own_garage.clock))
        with socket.create_server((lan.host, port)) as there, _threaded(own_garage, [here, there], lan):
            yield f"http://127.0.0.1:{port}", f"http://{lan.host}:{port}"


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    where = chromium()
    if not where:
        pytest.fail("Chromium is missing; `python tests/browser/need_chromium.py` says what to do.")
    # As root, in a container, the browser's own sandbox cannot start.
    rootless = ["--no-sandbox"] if os.name == "posix" and os.geteuid() == 0 else []
    with sync_playwright() as playwright:
        expect.set_options(timeout=LONGEST_MS)
        opened = playwright.chromium.launch(executable_path=where, args=[*QUIET, *rootless])
        yield opened
        opened.close()


@contextmanager
def _pages_of(browser: Browser) -> Iterator[PageFor]:
    contexts: list[BrowserContext] = []

    def make(width: int = 390, height: int = 844, *, dark: bool = False, patient: bool = True, **more: object) -> Page:
        scheme = "dark" if dark else "light"
        context = browser.new_context(viewport={"width": width, "height": height}, color_scheme=scheme, **more)
        contexts.append(context)
        if patient:
            context.add_init_script(PATIENT)
        page = context.new_page()
        page.set_default_timeout(LONGEST_MS)
        return page

    yield make
    for context in contexts:
        context.close()


@pytest.fixture
def page_for(browser: Browser) -> Iterator[PageFor]:
    """Make pages: page_for(width, height, dark=False, patient=True, **more of a browser context).

    One that is not patient goes on by itself after the time that the product gives an answer.
    """
    with _pages_of(browser) as make:
        yield make


@pytest.fixture(scope="module")
def page_for_all(browser: Browser) -> Iterator[PageFor]:
    """The same, for pages that all tests of a file look at."""
    with _pages_of(browser) as make:
        yield make


@pytest.fixture
def phone(page_for: PageFor) -> Page:
    """A page on a phone, to be touched."""
    return page_for(has_touch=True)
