"""An invented list for the tests of its pages. Nobody in it exists."""

from __future__ import annotations

import asyncio
import datetime as dt
import gzip
from pathlib import Path

import httpx
from here import Here
from mail_samples import IDENTITY, KEY

from advisor.base.record import replace
from advisor.mailing.editions.build import build_edition
from advisor.mailing.outbox.run import put_on_its_way
from advisor.mailing.store.edition_tables import approve, open_edition
from advisor.mailing.store.edition_tables import set_editor as write_words
from advisor.mailing.store.store import Store, open_store
from advisor.mailing.use_cases.import_readers import import_readers

RECORD = Path(__file__).parents[2] / "data" / "weather" / "central_iowa.csv.gz"
MOMENT = dt.datetime(2018, 9, 10, 6, 0, tzinfo=dt.UTC)
NOTE = "Mow <b>high</b> & dry."
WEB = replace(IDENTITY, web_url="https://lawn.example.org")
LIST = """format: 1
list_id: lawn-week.example.org
name: The invented lawn week
sender: The invented lawn week
sender_address: week@example.org
reply_to: editor@example.org
postal_address: 1 Invented Street, Nowhere
leave_url: https://lawn.example.org/leave
leave_mail: leave@example.org
bounces: bounces@example.org
web_url: https://lawn.example.org
"""
#: 1 to 3 told place and grass alone; 4 a size, 5 a depth; 6 is the only one with that grass; 7 does
#: not know the grass, 8 lives far from any weather record.
READERS = """\
address,name,place,country,grass,area,permission_on,permission_source,thatch_depth,measured_on
a@example.org,Annabel,50010,US,tall fescue,,2018-01-01,form,,
b@example.org,Bo,50010,US,tall fescue,,2018-01-01,form,,
c@example.org,Cyrus,50010,US,tall fescue,,2018-01-01,form,,
d@example.org,Dina,50010,US,tall fescue,3712.5 ft2,2018-01-01,form,,
e@example.org,Ezra,50010,US,tall fescue,,2018-01-01,form,0.7321 in,2018-08-20
f@example.org,Fay,50010,US,buffalograss,,2018-01-01,form,,
g@example.org,Gus,50010,US,dont_know,,2018-01-01,form,,
h@example.org,Hal,"-31.95, 115.86",AU,tall fescue,,2018-01-01,form,,
"""


def made_list(folder: Path, book) -> Path:
    """The list's folder with an approved edition. The weather is an open record."""
    (folder / "weather").mkdir(parents=True)
    (folder / "weather" / "ia.csv").write_bytes(gzip.decompress(RECORD.read_bytes()))
    places = "file,name,latitude,longitude,kind\nia.csv,central Iowa,42.035,-93.0,record\n"
    (folder / "weather" / "places.csv").write_text(places)
    (folder / "list.yaml").write_text(LIST)
    (folder / "readers.csv").write_text(READERS)
    store = open_store(folder / "mail.db")
    done = import_readers(folder / "readers.csv", store, book, dt.date(2018, 9, 1))
    assert done.refused == ()
    build(store, folder, book, dt.date(2018, 9, 10))
    store.dispose()
    return folder


def build(store: Store, folder: Path, book, first: dt.date, *, editor: bool = True) -> int:
    """Build and approve the edition of a week in this process; its id."""
    edition = open_edition(store, folder.resolve().name, first, book.hash)
    if editor:
        assert write_words(store, edition.id, {"note": NOTE})
    today = dt.date(2026, 11, 25)
    built = build_edition(folder, store, book, first, today, workers=1, pool=Here())
    assert built.written > 0
    assert built.failed == []
    assert approve(store, edition.id, MOMENT.replace(tzinfo=None))
    return edition.id


def set_out(store: Store, edition_id: int = 1, *, canary: float = 0.0) -> int:
    """Put an approved edition on its way; how many mails."""
    return put_on_its_way(store, edition_id, WEB, KEY, canary=canary)


class Visitor:
    """Somebody who asks an ASGI application, by httpx. Redirects are not followed."""

    def __init__(self, app) -> None:
        self._app = app

    def ask(self, method: str, path: str, **given) -> httpx.Response:
        return asyncio.run(self._ask(method, path, given))

    def get(self, path: str, **given) -> httpx.Response:
        return self.ask("GET", path, **given)

    def post(self, path: str, **given) -> httpx.Response:
        return self.ask("POST", path, **given)

    async def _ask(self, method: str, path: str, given: dict) -> httpx.Response:
        way = httpx.ASGITransport(self._app, raise_app_exceptions=False)
        at = "https://lawn.example.org"
        async with httpx.AsyncClient(transport=way, base_url=at) as client:
            return await client.request(method, path, **given)
