"""What the pages are served from."""

from __future__ import annotations

from typing import cast

from starlette.requests import Request

from advisor.base.record import Record
from advisor.mailing.mails.identity import ListIdentity
from advisor.mailing.store.store import Store


class Served(Record, frozen=True):
    """key: of the tokens. archive: whether sent editions are shown to everybody."""

    store: Store
    identity: ListIdentity
    key: bytes
    archive: bool = True


def served(request: Request) -> Served:
    """The list of the program that a request came to."""
    return cast(Served, request.app.state.served)
