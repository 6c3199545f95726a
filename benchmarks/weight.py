"""What a phone loads for Now: the page and every file of ours that it leads to, as sent and unpacked."""

import re
import sys
import tempfile
import warnings
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import urljoin, urlsplit

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from starlette.testclient import TestClient

from knowngood.acts.job.garage import open_garage
from knowngood.demo import runs_hot
from knowngood.web.server.app import application

NOW = "/job/runs-hot/now"
LIMIT_KB = 150  # ours: some seconds on one bar of signal
# What each kind of file loads by itself. Photos are not among it: they are drawn only when they are looked at.
LEADS_TO = {
    "text/html": r"""<(?:link\b[^>]*?\bhref|script\b[^>]*?\bsrc)="([^"]+)\"""",
    "text/css": r"""url\(["']?([^"')]+)|@import\s+["']([^"']+)""",
    "text/javascript": r"""\bimport\b[^"';]*["']([^"']+)["']""",
}
NAVIGATION = r'<nav class="(?:tabs|pages)".*?</nav>'
HREF = r'href="([^"#]+)"'


@dataclass(frozen=True)
class File:
    """One answer.

    Args:
        sent: Bytes on the way, packed as a browser asks for it.
        unpacked: Bytes in the browser.
    """

    url: str
    sent: int
    unpacked: int
    leads_to: frozenset[str]


def loaded(client: TestClient, url: str) -> File:
    """Fetch one file as a browser does.

    Raises:
        ValueError: The server does not have it.
    """
    with client.stream("GET", url, headers={"accept-encoding": "gzip, deflate, br"}) as answer:
        content = answer.read()
    if answer.status_code != 200:
        raise ValueError(f"{url}: the page loads this, and the answer is {answer.status_code}.")
    kind = answer.headers["content-type"].partition(";")[0]
    found = re.findall(LEADS_TO[kind], content.decode()) if kind in LEADS_TO else []
    names = (name for match in found for name in ([match] if isinstance(match, str) else match) if name)
    own = frozenset(urljoin(url, name) for name in names if not urlsplit(name).scheme)
    return File(url, answer.num_bytes_downloaded, len(content), own)


def with_all_it_loads(client: TestClient, url: str) -> Iterator[File]:
    """The file and, each once, everything that it leads to."""
    seen, left = {url}, [url]
    while left:
        file = loaded(client, left.pop())
        yield file
        left += sorted(file.leads_to - seen)
        seen |= file.leads_to


def copies(client: TestClient) -> list[File]:
    """The job's other pages, fetched once Now stands and kept for when there is no connection."""
    page = client.get(NOW).text
    hrefs = [href for part in re.findall(NAVIGATION, page, re.DOTALL) for href in re.findall(HREF, part)]
    return [loaded(client, href) for href in dict.fromkeys(hrefs) if not href.endswith(".pdf")]


def lines(*, each: bool = False) -> tuple[list[str], bool]:
    """What there is to say, a line each, and whether Now is as light as it has to be."""
    with tempfile.TemporaryDirectory() as folder, open_garage(Path(folder) / "garage") as garage:
        runs_hot.fill(garage)
        client = TestClient(application(garage), base_url="http://127.0.0.1", client=("127.0.0.1", 50000))
        now, beside = list(with_all_it_loads(client, NOW)), copies(client)
    sent = sum(file.sent for file in now)
    light = sent <= LIMIT_KB * 1000
    verdict = "light enough" if light else "TOO HEAVY"
    own = [f"Now and all it loads, {len(now)} files, {verdict} for {LIMIT_KB} kB: {_weight(now)}"]
    later = f"Copies for when there is no connection, {len(beside)} pages, fetched after it: {_weight(beside)}"
    rows = [f"  {file.url}: {_weight([file])}" for file in sorted(now, key=lambda one: -one.sent)] if each else []
    return [*own, *rows, later], light


def _weight(files: list[File]) -> str:
    sent, unpacked = sum(file.sent for file in files), sum(file.unpacked for file in files)
    return f"{sent / 1000:.1f} kB as sent, {unpacked / 1000:.1f} kB unpacked"


if __name__ == "__main__":
    said, light_enough = lines(each=True)
    print("\n".join(said))
    sys.exit(0 if light_enough else 1)
