"""Speed and size, each beside a plain yardstick measured in the same run. Ratios count; seconds are this machine's."""

import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

import folding
import judgement
import keeping
import troubleshooting
import weight
import window
from timing import seconds

Row = tuple[str, float, float, float]
JUDGE = [
    "-m", "knowngood", "judge", "--limits", "80..95 ohm", "--at", "20 °C", "--read", "100.9 101.2 101.1 ohm",
    "--zero", "0.4 ohm", "--part", "48 ± 4 °C", "--conductor", "copper", "--meter", "0.8 % + 3 digits, 0.1 ohm",
]  # fmt: skip


def python(*arguments: str) -> Callable[[], object]:
    """A cold Python with these arguments."""
    return lambda: subprocess.run([sys.executable, *arguments], check=True, capture_output=True)


def cold_judge() -> list[Row]:
    """The verdict from the shell against importing numpy alone; the aim is under 6 times."""
    ours, yardstick = seconds(python(*JUDGE)), seconds(python("-c", "import numpy"))
    return [("judge, cold, against import numpy", ours, yardstick, ours / yardstick)]


def first_page() -> list[Row]:
    """The first Now page after start against importing the web framework alone."""
    with tempfile.TemporaryDirectory() as folder:
        script = f"""
from pathlib import Path
from starlette.testclient import TestClient
from knowngood.acts import demo, garage
from knowngood.web.app import application
home = garage.open_garage(Path({folder!r}) / "g")
"""
        fill = script + "demo.fill(home)\n"
        subprocess.run([sys.executable, "-c", fill], check=True)
        client = "client = TestClient(application(home), base_url='http://127.0.0.1', client=('127.0.0.1', 50000))\n"
        page = script + client + "assert client.get('/job/runs-hot/now').status_code == 200\n"
        ours = seconds(python("-c", page), rounds=3)
    yardstick = seconds(python("-c", "import starlette.testclient, jinja2, pydantic"), rounds=3)
    return [("first Now page, cold, against importing the framework", ours, yardstick, ours / yardstick)]


def main() -> None:
    """Print the table, and what a phone loads; an error when that is too much."""
    rows = [
        row
        for part in (
            cold_judge,
            judgement.rows,
            folding.rows,
            keeping.rows,
            window.rows,
            troubleshooting.rows,
            first_page,
        )
        for row in part()
    ]
    width = max(len(name) for name, *_ in rows)
    print(f"{'what':<{width}}  {'ours':>10}  {'yardstick':>10}  {'times':>6}")
    for name, ours, yardstick, ratio in rows:
        print(f"{name:<{width}}  {1e3 * ours:>7.1f} ms  {1e3 * yardstick:>7.1f} ms  {ratio:>6.2f}")
    said, light = weight.lines()
    print("", *said, sep="\n")
    if not light:
        sys.exit("Now is too heavy for a phone on a weak signal; `benchmarks/weight.py` alone says which file is.")


if __name__ == "__main__":
    main()
