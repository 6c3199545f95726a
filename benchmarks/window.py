"""When the check window opens and closes, against real logs, beside a straight line and plain Newton fitting.

    python benchmarks/window.py CASES.json ...

A file is a list of cases: readings [[seconds, °C], ...], window [lower, upper], opens_at and closes_at in seconds,
and a name whose last two parts, after hyphens, tell cases of one warm-up apart. Logs belong to others: none is here.
"""

import json
import math
import sys
from collections import defaultdict
from collections.abc import Callable, Sequence
from pathlib import Path
from statistics import fmean, median
from typing import Any

import numpy as np
from newton import fit

from knowngood.engine.fluids.window import Instants, State, Timed, check_window
from knowngood.engine.judgement.distribution import t_quantile

Row = tuple[str, float, float, float]
Range = tuple[float, float, float]
Case = dict[str, Any]
U_K = 0.29  # a display in steps of 1 °C
LATEST_S = 3600.0  # stands for never, for all methods alike


def straight(readings: Sequence[Sequence[float]], edge_c: float) -> Range:
    """A line through the last three readings; the range follows from how far they are off it."""
    seconds, celsius = np.array(readings[-3:], dtype=float).T
    seconds = seconds - seconds[-1]
    slope, now = np.polyfit(seconds, celsius, 1)
    if slope <= 0.0:
        return LATEST_S, LATEST_S, LATEST_S
    left = (edge_c - now) / slope
    off = celsius - now - slope * seconds
    away = seconds - seconds.mean()
    u = math.sqrt(off @ off * (1.0 / 3.0 + (left - seconds.mean()) ** 2 / (away @ away))) / slope
    return around(left, u, dof=1)


def newton(readings: Sequence[Sequence[float]], edge_c: float) -> Range:
    """Newton's law by least squares; the range follows from the deviations by the linear law."""
    seconds, celsius = np.array(readings, dtype=float).T
    seconds = seconds - seconds[0]
    found = fit(seconds, celsius)
    at = found.reaches(edge_c)
    if at is None or found.rise <= 0.0:
        return LATEST_S, LATEST_S, LATEST_S
    decay = np.exp(-found.rate * seconds)
    moves = np.column_stack([np.ones_like(seconds), 1.0 - decay, found.rise * seconds * decay])
    at_edge = math.exp(-found.rate * at)
    there = np.array([1.0, 1.0 - at_edge, found.rise * at * at_edge])
    dof = max(len(seconds) - 3, 1)
    # The pseudo-inverse: with a curve that is all but straight, two of the three cannot be told apart.
    variance = there @ np.linalg.pinv(moves.T @ moves) @ there * found.squares / dof
    return around(at - seconds[-1], math.sqrt(variance) / (found.rise * found.rate * at_edge), dof=dof)


def around(left: float, u: float, *, dof: int) -> Range:
    """Four times out of five, none before now and none beyond the latest."""
    reach = t_quantile(0.9, dof) * u
    low, middle, high = (min(max(one, 0.0), LATEST_S) for one in (left - reach, left, left + reach))
    return low, middle, high


def ours(readings: Sequence[Sequence[float]], window: Sequence[float], edge: str) -> Range:
    """What the program says."""
    found = check_window([Timed(second, celsius, U_K) for second, celsius in readings], *window)
    moment: Instants = getattr(found, edge)
    low, middle, high = (
        LATEST_S if one is None else min(one, LATEST_S) for one in (moment.p10, moment.p50, moment.p90)
    )
    return low, middle, high


def score(told: Range, true_s: float) -> float:
    """Interval score of a range that holds 4 times out of 5: its width, and ten times the miss.

    Source: Gneiting and Raftery, Strictly proper scoring rules, 2007, equation 43.
    """
    low, _, high = told
    return high - low + 10.0 * max(low - true_s, true_s - high, 0.0)


def measured(cases: list[Case], edge: str, told: Callable[[Case], Range]) -> dict[str, float]:
    """Coverage, then width, error and score in multiples of the remaining time."""
    rows = []
    for case in cases:
        true_s = case[f"{edge}_at"] - case["readings"][-1][0]
        if true_s > 0.0:
            low, middle, high = found = told(case)
            rows.append(
                (low <= true_s <= high, (high - low) / true_s, middle / true_s - 1.0, score(found, true_s) / true_s)
            )
    covered, width, error, scores = zip(*rows, strict=True)
    return {
        "covered": fmean(covered), "width": median(width), "error": median(abs(one) for one in error),
        "bias": median(error), "score": fmean(scores), "median score": median(scores),
    }  # fmt: skip


def methods(edge: str) -> dict[str, Callable[[Case], Range]]:
    """The three, for one edge."""
    at = 0 if edge == "opens" else 1
    return {
        "ours": lambda case: ours(case["readings"], case["window"], edge),
        "straight line": lambda case: straight(case["readings"], case["window"][at]),
        "plain Newton": lambda case: newton(case["readings"], case["window"][at]),
    }


def show(path: Path) -> None:
    """Print one file's figures, then coverage for each warm-up."""
    cases: list[Case] = json.loads(path.read_text())
    of_warm_up = defaultdict(list)
    for case in cases:
        of_warm_up[case["case"].rsplit("-", 2)[0]].append(case)
    print(f"\n{path.name}: {len(cases)} cases of {len(of_warm_up)} warm-ups")
    for edge in ("opens", "closes"):
        for name, told in methods(edge).items():
            figures = "  ".join(f"{what} {value:5.2f}" for what, value in measured(cases, edge, told).items())
            print(f"  {edge:6} {name:13}  {figures}")
    states = [check_window([Timed(*one, U_K) for one in case["readings"]], *case["window"]).state for case in cases]
    print("  " + ", ".join(f"{state} {states.count(state)}" for state in State if state in states))
    for name, some in of_warm_up.items():
        covered = measured(some, "opens", methods("opens")["ours"])["covered"]
        print(f"    {name}: opening covered in {covered:.0%} of {len(some)}")


def rows() -> list[Row]:
    """What, ours, yardstick, ratio: one look at the window against the plain fit of its curve."""
    from timing import seconds

    read = [[30.0 * at, round(100.0 - 80.0 * math.exp(-0.05 * at))] for at in range(20)]
    mine = seconds(lambda: ours(read, (80.0, 90.0), "opens"))
    yardstick = seconds(lambda: newton(read, 80.0))
    return [("check window from 20 readings, against plain Newton fitting", mine, yardstick, mine / yardstick)]


def main() -> None:
    """Each file named, where it is; nothing to do without one."""
    paths = [Path(name) for name in sys.argv[1:]]
    for path in paths:
        if path.exists():
            show(path)
        else:
            print(f"{path}: not here, skipped")
    if not paths:
        print("name one or more files of cases; none are kept with the program")


if __name__ == "__main__":
    main()
