"""How long some work takes, the median of a few rounds."""

import statistics
import time
from collections.abc import Callable


def seconds(work: Callable[[], object], rounds: int = 7) -> float:
    """Median time of some work, after one round to warm up. [s]"""
    work()
    times = []
    for _ in range(rounds):
        begun = time.perf_counter()
        work()
        times.append(time.perf_counter() - begun)
    return statistics.median(times)
