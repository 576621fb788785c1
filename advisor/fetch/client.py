"""One polite HTTP client: says who it is, tries again when that can help, and gives up in time."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping
from email.utils import format_datetime
from types import TracebackType
from urllib.parse import urlsplit

import httpx
from tenacity import RetryCallState, Retrying, retry_if_exception_type, stop_after_attempt
from tenacity.wait import wait_exponential, wait_random

from advisor import __version__
from advisor.base.dates import now_utc
from advisor.base.record import Record
from advisor.fetch.addresses import MOST_REDIRECTS, REDIRECTS, first_address, next_address
from advisor.fetch.failure import FetchFailed, reason_in
from advisor.fetch.http_times import clock_ahead, fresh_seconds, retry_after
from advisor.fetch.settings import CLOCK_SLACK_SECONDS, LARGEST_ANSWER_BYTES, Patience

_TOO_MANY = 429
_SAID_SHORTLY = 160


class Answer(Record, frozen=True):
    """A whole answer of a service. fresh_seconds: how long it is good, None if it does not say."""

    host: str
    text: str
    fresh_seconds: int | None


class _Passing(FetchFailed):
    """A failure that may pass. pause: seconds that the service asks to wait."""

    def __init__(self, what: str, pause: float | None = None) -> None:
        super().__init__(what)
        self.pause = pause


class Client:
    """Asks services by GET. Use it in a `with` statement; not for several threads at once."""

    def __init__(self, contact: str, patience: Patience | None = None) -> None:
        """contact: how the services can reach the keeper. The whole patience starts now."""
        self._patience = patience or Patience()
        self._end = time.monotonic() + self._patience.whole
        first, longest = self._patience.first_pause, self._patience.longest_pause
        self._pauses: Callable[[RetryCallState], float] = wait_exponential(
            multiplier=first, max=longest
        ) + wait_random(0, first)
        agent = f"turf-windows/{__version__} ({contact})"
        self._http = httpx.Client(headers={"User-Agent": agent}, follow_redirects=False)

    def __enter__(self) -> Client:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._http.close()

    def get(self, url: str, parameters: Mapping[str, str] | None = None) -> Answer:
        """The answer to a request.

        Answers 429 and 5xx and broken connections are tried again, with growing pauses or the one
        that Retry-After names. Raises `FetchFailed` with one sentence.
        """
        retrying = Retrying(
            retry=retry_if_exception_type(_Passing),
            stop=self._hopeless,
            wait=self._pause,
            reraise=True,
        )
        try:
            return retrying(self._once, url, dict(parameters or {}))
        except _Passing as failure:
            tries = retrying.statistics["attempt_number"]
            more = f" ({tries} tries)" if tries > 1 else ""
            raise FetchFailed(f"{failure}{more}") from None

    def _pause(self, state: RetryCallState) -> float:
        asked = self._asked(state)
        return self._pauses(state) if asked is None else asked

    def _hopeless(self, state: RetryCallState) -> bool:
        if stop_after_attempt(self._patience.attempts)(state):
            return True
        asked = self._asked(state) or 0.0
        return asked > self._patience.longest_pause or asked >= self._left()

    @staticmethod
    def _asked(state: RetryCallState) -> float | None:
        failure = state.outcome.exception() if state.outcome else None
        return failure.pause if isinstance(failure, _Passing) else None

    def _left(self) -> float:
        return self._end - time.monotonic()

    def _once(self, url: str, parameters: dict[str, str]) -> Answer:
        host = _host(url)
        left = self._left()
        if left <= 0:
            raise FetchFailed(f"{host}: no time left of {self._patience.whole:g} s")
        read = min(self._patience.read, left)
        timeout = httpx.Timeout(read, connect=min(self._patience.connect, left))
        try:
            response, body = self._ask(first_address(url, parameters), host, timeout)
        except httpx.HTTPError as error:
            raise _as_failure(host, error, read) from None
        except UnicodeError as error:  # a name that no domain can have, here or in a redirect
            raise FetchFailed(f"{host}: cannot be asked: {error}") from None
        self._check_status(response, body, host)
        self._check_clock(response, host)
        try:
            text = body.decode("utf-8-sig")
        except UnicodeDecodeError:
            raise FetchFailed(f"{host}: the answer is no UTF-8 text") from None
        return Answer(host, text, fresh_seconds(response.headers))

    def _ask(
        self, url: httpx.URL, host: str, timeout: httpx.Timeout
    ) -> tuple[httpx.Response, bytes]:
        """The answer itself, and its body, after as many redirects as are followed."""
        for _ in range(MOST_REDIRECTS + 1):
            with self._http.stream("GET", url, timeout=timeout) as response:
                if response.status_code not in REDIRECTS:
                    return response, self._body(response, host)
                url = next_address(response, host)
        raise FetchFailed(f"{host}: more than {MOST_REDIRECTS} redirects; gave up")

    def _body(self, response: httpx.Response, host: str) -> bytes:
        pieces, size = [], 0
        for piece in response.iter_bytes():
            size += len(piece)
            if size > LARGEST_ANSWER_BYTES:
                raise FetchFailed(f"{host}: the answer is longer than {LARGEST_ANSWER_BYTES:,} B")
            if self._left() <= 0:
                raise FetchFailed(f"{host}: the answer came too slowly; gave up half-way")
            pieces.append(piece)
        return b"".join(pieces)

    def _check_status(self, response: httpx.Response, body: bytes, host: str) -> None:
        status = response.status_code
        if status == httpx.codes.OK:
            return
        said = reason_in(body.decode("utf-8", "replace"))
        what = f"{host} answered {status}{f': {said[:_SAID_SHORTLY]}' if said else ''}"
        asked = retry_after(response.headers, now_utc())
        if status == _TOO_MANY and asked is not None and asked > self._patience.longest_pause:
            what = f"{what}; it asks to wait {asked:,.0f} s"
        if status == _TOO_MANY or status >= 500:
            raise _Passing(what, asked)
        raise FetchFailed(what, missing=status == httpx.codes.NOT_FOUND)

    @staticmethod
    def _check_clock(response: httpx.Response, host: str) -> None:
        now = now_utc()
        ahead = clock_ahead(response.headers, now)
        if ahead is not None and abs(ahead) > CLOCK_SLACK_SECONDS:
            side = "ahead of" if ahead > 0 else "behind"
            raise FetchFailed(
                f"this machine's clock ({format_datetime(now, usegmt=True)}) is "
                f"{abs(ahead) / 3600:,.0f} h {side} that of {host}; set it, or days are mistaken"
            )


def _host(url: str) -> str:
    try:
        return urlsplit(url).netloc or url
    except ValueError:
        raise FetchFailed(f"'{url}' is no address") from None


def _as_failure(host: str, error: httpx.HTTPError, read: float) -> FetchFailed:
    if isinstance(error, httpx.ConnectTimeout):
        return _Passing(f"{host}: no connection in time")
    if isinstance(error, httpx.TimeoutException):
        return _Passing(f"{host}: no answer within {read:.3g} s")
    if isinstance(error, httpx.ConnectError):
        said = str(error)
        if "CERTIFICATE" in said.upper():
            return FetchFailed(f"{host}: its certificate was not accepted; is the clock right?")
        return _Passing(f"{host}: no connection ({said})")
    if isinstance(error, httpx.RemoteProtocolError):
        if "location header" in str(error):
            return FetchFailed(f"{host} sends on to what is no address")
        return _Passing(f"{host}: the answer broke off half-way")
    return _Passing(f"{host}: {error or type(error).__name__}")
