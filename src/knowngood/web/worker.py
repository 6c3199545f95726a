"""Makes plans better while pages are read: one thread beside the requests, which ends when nothing is left to do."""

from collections.abc import Iterator
from dataclasses import dataclass
from threading import Lock, Thread

from knowngood.acts.faults.firm import Firm, firm
from knowngood.acts.faults.plan import Plan, digest, plans
from knowngood.acts.faults.suspects import Suspected

MOST_KEPT = 64
Piece = Plan | Firm


def pieces(found: Suspected) -> Iterator[Piece]:
    """Yield ever better plans, then how firmly the best one stands, piece of work by piece."""
    plan = None
    for better in plans(found):
        plan = better
        yield better
    if plan is not None:
        yield from firm(found, plan)


@dataclass(eq=False)
class _Work:
    """What is done for one job.

    Args:
        mark: Of the problem.
        pieces: The work, piece by piece.
        planned: The plan is as good as it gets; what follows can wait for other jobs' plans.
    """

    mark: str
    pieces: Iterator[Piece]
    planned: bool = False


class Worker:
    """Does what takes longer than a page may: a piece for the job that was asked for last, then the next piece.

    A plan is kept where it was made (`acts.faults.plan`), so a page only looks there. What a job was asked for before
    its findings changed is dropped.
    """

    def __init__(self) -> None:
        self._lock = Lock()
        self._wanted: dict[str, _Work] = {}
        self._firm: dict[str, Firm] = {}
        self._thread: Thread | None = None

    def look(self, job: str, found: Suspected) -> None:
        """Ask for a better plan of a job; returns at once. What was settled before is not looked for again."""
        mark = _mark(found)
        with self._lock:
            known, wanted = self._firm.get(mark), self._wanted.get(job)
            if (known and known.settled) or (wanted and wanted.mark == mark):
                return
            self._wanted.pop(job, None)
            self._wanted[job] = _Work(mark, pieces(found))
            if self._thread is None:
                self._thread = Thread(target=self._run, name="plans", daemon=True)
                self._thread.start()

    def is_looking(self, job: str) -> bool:
        """Is there still something to be done for a job?"""
        with self._lock:
            return job in self._wanted

    def firm(self, found: Suspected) -> Firm:
        """Return how firmly the next action stands, as far as that is known by now."""
        with self._lock:
            return self._firm.get(_mark(found), Firm())

    def stop(self) -> None:
        """Drop what is wanted; the thread ends after the piece of work at hand."""
        with self._lock:
            self._wanted.clear()

    def _run(self) -> None:
        try:
            while (work := self._next()) is not None:
                self._done(work, next(work.pieces, None))
        except BaseException:
            with self._lock:  # a fault of ours must not leave pages waiting
                self._wanted.clear()
                self._thread = None
            raise

    def _next(self) -> _Work | None:
        """Plans go first, the job asked for last before others; None ends the thread, the next to ask starts one."""
        with self._lock:
            if not self._wanted:
                self._thread = None
                return None
            newest_first = list(reversed(self._wanted.values()))
            return min(newest_first, key=lambda work: work.planned)

    def _done(self, work: _Work, piece: Piece | None) -> None:
        with self._lock:
            if isinstance(piece, Plan):
                work.planned = piece.settled
            if isinstance(piece, Firm):
                work.planned = True
                self._firm[work.mark] = piece
                while len(self._firm) > MOST_KEPT:
                    del self._firm[next(iter(self._firm))]
            if piece is None:
                self._wanted = {job: one for job, one in self._wanted.items() if one is not work}


def _mark(found: Suspected) -> str:
    """The same for two that have the same words and the same left to do."""
    return digest(found.problem) + (digest(found.left) if found.left else "")
