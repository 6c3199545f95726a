"""Presses Done on one step of the demo's job each time it is told to: a line "ID" in, "kept" or the refusal out."""

import sys
from pathlib import Path

from knowngood.acts.job.garage import open_garage
from knowngood.acts.record.entries import Entry
from knowngood.acts.record.take import take
from knowngood.refusal import Refused

DONE = {"step": "refill", "round": "1", "amount": "4.6 L"}


def main(folder: str) -> None:
    with open_garage(Path(folder)) as garage:
        print("ready", flush=True)
        for line in sys.stdin:
            try:
                take(garage, Entry(line.strip(), "job/runs-hot", "step_done", DONE, device=f"phone {line[:1]}"))
                print("kept", flush=True)
            except Refused as refused:
                print(*refused.problems.values(), flush=True)


if __name__ == "__main__":
    main(sys.argv[1])
