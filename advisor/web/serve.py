"""Running the pages of a list's folder with uvicorn."""

from __future__ import annotations

import socket
from collections.abc import Callable
from pathlib import Path

import uvicorn

from advisor.base.problems import BadInput, Place
from advisor.mailing.mails.list_file import read_list_file
from advisor.mailing.mails.tokens import key_from_environment
from advisor.mailing.store.list_store import store_of
from advisor.web.app import make_app
from advisor.web.served import Served

_MOST_AT_ONCE = 200
_LAST_SECONDS = 5


def serve_list(
    folder: Path, host: str, port: int, *, archive: bool, told: Callable[[str], None]
) -> None:
    """Serve until stopped. port: 0 for any that is free. told: gets every line of the log.

    Raises `BadInput` if the list lacks something or the port cannot be had.
    """
    identity, key = read_list_file(folder), key_from_environment()
    store = store_of(folder, new=False)
    try:
        with _listening(host, port) as listening:
            at, number = listening.getsockname()[:2]
            told(f"Serving {identity.name} on {at} port {number}; stop with Ctrl-C.")
            if not identity.web_url:
                told("list.yaml has no web_url, so no mail names a reader's calendar.")
            config = uvicorn.Config(
                make_app(Served(store, identity, key, archive), told),
                # Its own log of requests holds whole addresses, which are secrets here.
                access_log=False,
                log_level="warning",
                server_header=False,
                proxy_headers=False,
                lifespan="off",
                ws="none",
                limit_concurrency=_MOST_AT_ONCE,
                timeout_graceful_shutdown=_LAST_SECONDS,
            )
            uvicorn.Server(config).run(sockets=[listening])
    finally:
        store.dispose()


def _listening(host: str, port: int) -> socket.socket:
    try:
        family, kind, _, _, at = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)[0]
        found = socket.socket(family, kind)
        try:
            found.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            found.bind(at)
            found.listen()
        except OSError:
            found.close()
            raise
    except (OSError, OverflowError, UnicodeError) as error:
        what = f"cannot be listened on: {getattr(error, 'strerror', None) or error}"
        raise BadInput.at(Place(f"{host} port {port}"), what) from None
    return found
