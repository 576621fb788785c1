"""Shares of work on several processes, where one that crashes takes nothing down with it."""

from __future__ import annotations

import multiprocessing
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from typing import Generic, TypeVar

S = TypeVar("S")
R = TypeVar("R")
_AHEAD = 2
"""Shares handed out for each worker: one at work, one ready."""


class SharedWork(Generic[S, R]):
    """`work` on many shares. `split` cuts one in two; it returns a single share if it cannot.

    A crashed process breaks its pool, and nobody can tell whose share it was. So the pool is made
    anew, and each share that was being worked on is tried again by itself; one that crashes again
    is cut in two, until the part at fault stands alone.
    """

    def __init__(self, work: Callable[[S], R], split: Callable[[S], list[S]], workers: int) -> None:
        self.work = work
        self.split = split
        self.workers = workers
        self.crashes = 0

    def run(self, shares: Iterable[S]) -> Iterator[tuple[S, R | None]]:
        """Each share with its result, as they are done; None for one that always crashes."""
        waiting = deque(shares)
        suspects: deque[S] = deque()
        while waiting:
            yield from self._together(waiting, suspects)
            while suspects:
                yield from self._alone(suspects)

    def _pool(self, workers: int) -> ProcessPoolExecutor:
        # A fresh interpreter: what the parent holds (the store, the engine) is not inherited.
        return ProcessPoolExecutor(workers, multiprocessing.get_context("spawn"))

    def _together(self, waiting: deque[S], suspects: deque[S]) -> Iterator[tuple[S, R | None]]:
        with self._pool(self.workers) as pool:
            at_work: dict[Future[R], S] = {}
            try:
                while waiting or at_work:
                    while waiting and len(at_work) < self.workers * _AHEAD:
                        share = waiting.popleft()
                        at_work[self._submit(pool, share, suspects)] = share
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

    def _submit(self, pool: ProcessPoolExecutor, share: S, suspects: deque[S]) -> Future[R]:
        try:
            return pool.submit(self.work, share)
        except BrokenProcessPool:
            suspects.append(share)
            raise

    def _alone(self, suspects: deque[S]) -> Iterator[tuple[S, R | None]]:
        share = suspects.popleft()
        try:
            with self._pool(1) as pool:
                result = pool.submit(self.work, share).result()
        except BrokenProcessPool:
            self.crashes += 1
            parts = self.split(share)
            if len(parts) < 2:
                yield share, None
            suspects.extend(parts if len(parts) > 1 else ())
        else:
            yield share, result
