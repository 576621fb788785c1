"""Shares of work on a Dask cluster: the workers may be on other machines.

Dask sends Python objects by pickle, which can run any code on whoever reads them. So only an
encrypted and certified connection (`tls://`) is taken, or one to this machine.
"""

from __future__ import annotations

import ipaddress
import logging
import time
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import CancelledError
from functools import partial
from types import TracebackType
from typing import TYPE_CHECKING, Any, Generic, Self, TypeVar
from urllib.parse import urlsplit

from advisor.base.problems import BadInput, Place
from advisor.mailing.editions.watchdog import watched

if TYPE_CHECKING:
    from distributed import Future

S = TypeVar("S")
R = TypeVar("R")
OPTION = Place("--cluster")
_AHEAD = 2
"""Shares handed out for each thread of a worker: one at work, one ready."""
CONNECT_S, NOBODY_S, LOOK_S = 10.0, 60.0, 5.0
"""Wait so long for the scheduler and for a worker; and look again so often who is there."""


class ClusterWork(Generic[S, R]):
    """`work` on many shares by the workers of a cluster; `split` and longest: as in `SharedWork`.

    A share whose worker dies is given to another by Dask. When that has happened too often (its
    setting `allowed-failures`), Dask gives up, though the fault may have been another share's that
    lay with the same worker. So it is tried again at the end, when nothing else is at work, and cut
    in two if it fails again, until the part at fault stands alone.
    """

    def __init__(
        self,
        address: str,
        work: Callable[[S], R],
        split: Callable[[S], list[S]],
        longest: Callable[[S], float],
        about: Callable[[], str],
    ) -> None:
        """about: what must be the same here and at each worker. Raises `BadInput`."""
        self.crashes = 0
        self._work, self._split, self._longest = work, split, longest
        self._address = safe(address)
        self._client = _client(self._address)
        try:
            self._check(about)
        except BaseException:
            self._client.close()
            raise

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:  # fmt: skip
        self._client.close()

    def run(self, shares: Iterable[S]) -> Iterator[tuple[S, R | None]]:
        """Each share with its result, as they are done; None for one that always crashes."""
        suspects = deque[S]()
        for share, result in self._together(iter(shares), lambda: _AHEAD * self._threads()):
            if result is None:
                suspects.append(share)
            else:
                yield share, result
        while suspects:
            one = suspects.popleft()
            for share, result in self._together(iter([one]), lambda: 1):
                parts = [] if result is not None else self._split(share)
                if len(parts) > 1:
                    suspects.extend(parts)
                else:
                    yield share, result

    def _together(
        self, waiting: Iterator[S], most: Callable[[], int]
    ) -> Iterator[tuple[S, R | None]]:
        """Work on so many shares at a time; None for one that Dask has given up."""
        from distributed import KilledWorker

        at_work: dict[Future[R], S] = {}
        while True:
            while len(at_work) < max(most(), 1):
                share = next(waiting, None)
                if share is None:
                    break
                at_work[self._submit(share)] = share
            if not at_work:
                return
            for future in self._wait(list(at_work)):
                share = at_work.pop(future)
                try:
                    result: R | None = future.result()
                except KilledWorker:
                    self.crashes += 1
                    result = None
                except (CancelledError, OSError):
                    raise self._lost() from None
                future.release()
                yield share, result

    def _submit(self, share: S) -> Future[R]:
        work = partial(watched, self._work, self._longest(share))
        # Not pure: the same share may be tried again, and must then be worked on again.
        return self._client.submit(work, share, pure=False, key=None)

    def _wait(self, futures: list[Future[R]]) -> set[Future[R]]:
        from distributed import wait

        nobody_since: float | None = None
        while True:
            try:
                with self._client.as_current():
                    return set(wait(futures, LOOK_S, "FIRST_COMPLETED").done)
            except TimeoutError:
                if self._client.status != "running":
                    raise self._lost() from None
            except (CancelledError, OSError):
                raise self._lost() from None
            now = time.monotonic()
            nobody_since = None if self._threads() else (nobody_since or now)
            if nobody_since is not None and now - nobody_since > NOBODY_S:
                what = f"no worker is left at {self._address}; start some and build again: "
                raise BadInput.at(OPTION, f"{what}what is built already stays")

    def _threads(self) -> int:
        try:
            return sum(self._client.nthreads().values())
        except OSError:
            raise self._lost() from None

    def _lost(self) -> BadInput:
        what = f"the scheduler at {self._address} is gone; build again: what is built already stays"
        return BadInput.at(OPTION, what)

    def _check(self, about: Callable[[], str]) -> None:
        """That there are workers, and that each has this program with these rules."""
        try:
            self._client.wait_for_workers(1, timeout=CONNECT_S)
        except TimeoutError:
            raise BadInput.at(OPTION, f"no worker is at {self._address}; start some") from None
        here, said = about(), self._client.run(about, on_error="return")
        for worker, there in sorted(said.items()):
            if there != here:
                told = there if isinstance(there, str) else f"{type(there).__name__}: {there}"
                what = f"the worker {worker} has '{told}', here is '{here}'; install the same there"
                raise BadInput.at(OPTION, what)


def safe(address: str) -> str:
    """The address with its protocol. Raises `BadInput` if strangers could send code over it."""
    full = address if "://" in address else f"tcp://{address}"
    try:
        parts = urlsplit(full)
        host, port = parts.hostname or "", parts.port
    except ValueError:
        host, port = "", None
    if not host or port is None:
        raise BadInput.at(OPTION, f"'{address}' is no address; wanted one as tls://HOST:PORT")
    if parts.scheme == "tls" or (parts.scheme == "tcp" and _this_machine(host)):
        return full
    what = f"'{address}' is another machine without encryption, so that others on the way could "
    raise BadInput.at(OPTION, f"{what}run code here and there; wanted tls://HOST:PORT")


def _this_machine(host: str) -> bool:
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"


def _client(address: str) -> Any:
    try:
        from distributed import Client, Security
    except ImportError:
        what = "needs the extra 'cluster', which is not installed: "
        raise BadInput.at(OPTION, what + "pip install 'turf-windows[cluster]'") from None
    certified = Security().get_connection_args("client").get("ssl_context")
    if address.startswith("tls:") and certified is None:
        what = f"{address} wants certificates; name them in Dask's settings (distributed.comm.tls)"
        raise BadInput.at(OPTION, what)
    # What it logs with a traceback when the scheduler goes is told in one sentence here.
    logging.getLogger("distributed.client").setLevel(logging.CRITICAL)
    try:
        return Client(address, timeout=CONNECT_S, set_as_default=False)
    except (OSError, TimeoutError):
        or_else = ", or its certificate and ours are not of one authority" if certified else ""
        raise BadInput.at(OPTION, f"no scheduler answers at {address}{or_else}") from None
