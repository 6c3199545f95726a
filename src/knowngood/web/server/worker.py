"""Makes plans better while pages are read: one thread beside the requests, which ends when nothing is left to do."""

from collections.abc import Iterator
from dataclasses import dataclass
from threading import Lock, Thread

from knowngood.acts.faults.firm import Firm, firm
from knowngood.acts.faults.plan import Plan, digest, plans
from knowngood.acts.faults.suspects import Suspected

MOST_KEPT = 64
# Ours: pieces of work for one look, so that a computer rests when nobody looks any more.
FOR_A_LOOK = 8
# Ours: how long whoever stops the program waits for a piece of work, most of which take less than a second.
LONGEST_WAIT_S = 5.0
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
        firm: How firmly the plan stands is wanted as well.
        planned: The plan is as good as it gets; what follows can wait for other jobs' plans.
        left: Pieces to be done before somebody looks again.
    """

    mark: str
    pieces: Iterator[Piece]
    firm: bool = False
    planned: bool = False
    left: int = FOR_A_LOOK

    @property
    def is_due(self) -> bool:
        """Somebody waits for the next piece."""
        return self.left > 0 and (self.firm or not self.planned)


class Worker:
    """Does what takes longer than a page may: a piece for the job that was asked for last, then the next piece.

    It goes on as long as somebody looks: each look is good for some pieces. A plan is kept where it was made
    (`acts.faults.plan`), so a page only looks there. What a job was asked for before its findings changed is dropped.
    """

    def __init__(self) -> None:
        self._lock = Lock()
        self._wanted: dict[str, _Work] = {}
        self._firm: dict[str, Firm] = {}
        self._faults: dict[str, Exception] = {}
        self._thread: Thread | None = None

    def look(self, job: str, found: Suspected, *, firm: bool = True) -> None:
        """Ask for a better plan of a job; returns at once. What was settled before is not looked for again.

        Args:
            job: Its id.
            found: What could be wrong in it by now.
            firm: How firmly the plan stands is wanted too.
        """
        mark = _mark(found)
        with self._lock:
            known, wanted = self._firm.get(mark), self._wanted.pop(job, None)
            if (known and known.settled) or mark in self._faults:
                return
            if wanted is None or wanted.mark != mark:
                wanted = _Work(mark, pieces(found))
            wanted.firm, wanted.left = wanted.firm or firm, FOR_A_LOOK
            self._wanted[job] = wanted
            if self._thread is None and wanted.is_due:
                self._thread = Thread(target=self._run, name="plans", daemon=True)
                self._thread.start()

    def is_looking(self, job: str) -> bool:
        """Is there still something to be done for a job?"""
        with self._lock:
            return job in self._wanted

    def firm(self, found: Suspected) -> Firm:
        """Return how firmly the next action stands, as far as that is known by now.

        Raises:
            Exception: What ended the work on it, so that the page says that something is missing.
        """
        with self._lock:
            if fault := self._faults.get(_mark(found)):
                raise fault
            return self._firm.get(_mark(found), Firm())

    def stop(self) -> None:
        """Drop what is wanted, and wait for the piece of work at hand, unless that takes too long."""
        with self._lock:
            self._wanted.clear()
            thread = self._thread
        if thread is not None:
            thread.join(LONGEST_WAIT_S)

    def _run(self) -> None:
        try:
            while (work := self._next()) is not None:
                self._done(work, self._piece(work))
        except BaseException:
            with self._lock:  # a fault of ours must not leave pages waiting
                self._wanted.clear()
                self._thread = None
            raise

    def _piece(self, work: _Work) -> Piece | None:
        try:
            return next(work.pieces, None)
        except Exception as fault:
            with self._lock:
                self._faults = {**dict([*self._faults.items()][-MOST_KEPT + 1 :]), work.mark: fault}
            raise

    def _next(self) -> _Work | None:
        """Plans go first, the job asked for last before others; None ends the thread, the next to ask starts one."""
        with self._lock:
            newest_first = [work for work in reversed(self._wanted.values()) if work.is_due]
            if not newest_first:
                self._thread = None
                return None
            return min(newest_first, key=lambda work: work.planned)

    def _done(self, work: _Work, piece: Piece | None) -> None:
        with self._lock:
            work.left -= 1
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
