"""What the store has acknowledged is there after the process was killed in the middle of its work."""

import random
import subprocess
import sys
from pathlib import Path

import pytest

from knowngood.store.store import Store

CHILD = Path(__file__).with_name("kill_child.py")


def _killed(folder: Path, run: str, rng: random.Random) -> list[str]:
    """Start the child, kill it somewhere, return the ids that it acknowledged in whole lines."""
    child = subprocess.Popen([sys.executable, str(CHILD), str(folder), run], stdout=subprocess.PIPE, text=True)
    assert child.stdout is not None
    lines = [child.stdout.readline() for _ in range(rng.randrange(1, 40))]
    try:
        child.wait(rng.uniform(0, 0.02))
    except subprocess.TimeoutExpired:
        child.kill()
    rest, _ = child.communicate()
    assert child.returncode == -9, "the child ended by itself"
    whole = [line for line in (*lines, *rest.splitlines(keepends=True)) if line.endswith("\n")]
    return " ".join(whole).split()


@pytest.mark.skipif(sys.platform == "win32", reason="there is no SIGKILL")
def test_acknowledged_events_survive_a_kill(tmp_path, request):
    kills = 200 if request.config.getoption("--long", default=False) else 20
    rng, acknowledged = random.Random(7), []
    for number in range(kills):
        acknowledged += _killed(tmp_path, f"{number:08x}", rng)
        store = Store.open(tmp_path)
        kept = store.events()
        store.close()
        ids = {event.id for event in kept}
        assert set(acknowledged) <= ids
        assert all(event.digest == event.computed_digest() for event in kept)
        # Two go in together, so a half of a pair is never there.
        assert all(f"{one[:-1]}{1 - int(one[-1])}" in ids for one in ids)
    assert len(acknowledged) >= 2 * kills
