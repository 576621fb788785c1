"""Shares of work on several processes, where one that crashes takes nothing down with it."""

from __future__ import annotations

import multiprocessing
from collections import deque
from collections.abc import Callable, Generator, Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from functools import partial
from typing import Generic, TypeVar

from advisor.mailing.editions.watchdog import watched

S = TypeVar("S")
R = TypeVar("R")
_AHEAD = 2
"""Shares handed out for each worker: one at work, one ready."""


class SharedWork(Generic[S, R]):
    """`work` on many shares, of which only a few are held at any time.

    `split` cuts one in two; it returns a single share if it cannot. longest: seconds that the work
    on a share may take; a process that hangs is ended then, and that is a crash.

    A crashed process breaks its pool, and nobody can tell whose share it was. So the pool is made
    anew, and each share that was being worked on is tried again by itself; one that crashes again
    is cut in two, until the part at fault stands alone.
    """

    def __init__(
        self,
        work: Callable[[S], R],
        split: Callable[[S], list[S]],
        workers: int,
        longest: Callable[[S], float],
    ) -> None:
        self.work = work
        self.split = split
        self.workers = workers
        self.longest = longest
        self.crashes = 0

    def run(self, shares: Iterable[S]) -> Iterator[tuple[S, R | None]]:
        """Each share with its result, as they are done; None for one that always crashes."""
        waiting, suspects = iter(shares), deque[S]()
        more = True
        while more:
            more = yield from self._together(waiting, suspects)
            while suspects:
                yield from self._alone(suspects)

    def _pool(self, workers: int) -> ProcessPoolExecutor:
        # A fresh interpreter: what the parent holds (the store, the engine) is not inherited.
        return ProcessPoolExecutor(workers, multiprocessing.get_context("spawn"))

    def _submit(self, pool: ProcessPoolExecutor, share: S) -> Future[R]:
        return pool.submit(partial(watched, self.work, self.longest(share)), share)

    def _together(
        self, waiting: Iterator[S], suspects: deque[S]
    ) -> Generator[tuple[S, R | None], None, bool]:
        """Work on shares until none is left (False) or a process crashes (True)."""
        at_work: dict[Future[R], S] = {}
        with self._pool(self.workers) as pool:
            try:
                while True:
                    while len(at_work) < self.workers * _AHEAD:
                        share = next(waiting, None)
                        if share is None:
                            break
                        try:
                            at_work[self._submit(pool, share)] = share
                        except BrokenProcessPool:
                            suspects.append(share)
                            raise
                    if not at_work:
                        return False
                    for future in wait(at_work, return_when=FIRST_COMPLETED).done:
                        result = future.result()
                        yield at_work.pop(future), result
            except BrokenProcessPool:
                self.crashes += 1
        for future, share in at_work.items():
            if future.done() and future.exception() is None:
                yield share, future.result()
            else:
                suspects.append(share)
        return True

    def _alone(self, suspects: deque[S]) -> Iterator[tuple[S, R | None]]:
        share = suspects.popleft()
        try:
            with self._pool(1) as pool:
                result = self._submit(pool, share).result()
        except BrokenProcessPool:
            self.crashes += 1
            parts = self.split(share)
            if len(parts) < 2:
                yield share, None
            suspects.extend(parts if len(parts) > 1 else ())
        else:
            yield share, result
