"""An edition's shares on a cluster, as `build_edition` wants its workers."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from functools import partial

from advisor.mailing.editions.cluster import ClusterWork
from advisor.mailing.editions.packed import Packed, about, longest, pack, split, work_packed
from advisor.mailing.letters.batch import Done, Share, compose_share


class OnCluster:
    """Packs each share for its way, and names it by its unpacked self again."""

    def __init__(self, work: ClusterWork[Packed, Done]) -> None:
        self._work = work

    @property
    def crashes(self) -> int:
        return self._work.crashes

    def run(self, shares: Iterable[Share]) -> Iterator[tuple[Share, Done | None]]:
        for packed, done in self._work.run(pack(share) for share in shares):
            yield packed.share, done


@contextmanager
def on_cluster(address: str, work: Callable[[Share], Done] = compose_share) -> Iterator[OnCluster]:
    """The workers of the cluster whose scheduler is at an address. Raises `BadInput`."""
    with ClusterWork(address, partial(work_packed, work), split, longest, about) as workers:
        yield OnCluster(workers)
