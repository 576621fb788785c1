"""The HTML standard's validator and an accessibility checker over the pages of a list. By hand.

    npm install --prefix FOLDER axe-core vnu-jar
    python docs/check_pages.py FOLDER [--keep FOLDER]

As docs/check_mail.py, with the pages of `advisor mail serve` for an invented list. --keep: write
the pages and their pictures there.
"""

from __future__ import annotations

import re
import sys
from pathlib import Path

from check_mail import check

SUPPORT = Path(__file__).parents[1] / "tests" / "delivery" / "support"
WIDTHS = (360, 1200)
# What each page that is no plain success must answer, so that no page stands in for another.
STATUS = {
    "not-understood": 400,
    "wrong-link": 404,
    "wrong-calendar": 404,
    "nothing": 404,
    "refused": 405,
    "busy": 500,
}


def pages(folder: Path) -> dict[str, str]:
    """Every kind of page, by a name for its file."""
    sys.path.insert(0, str(SUPPORT))
    from mail_samples import IDENTITY, KEY
    from sqlalchemy import insert, select
    from web_list import MOMENT, Visitor, made_list, set_out

    from advisor.mailing.mails.tokens import leaving_token
    from advisor.mailing.outbox import outbox
    from advisor.mailing.store.store import open_store, writing
    from advisor.mailing.store.web_tables import page
    from advisor.rulebook.read_rulebook import read_rulebook
    from advisor.web.app import make_app
    from advisor.web.served import Served

    made_list(folder, read_rulebook())
    store = open_store(folder / "mail.db")
    # In the week of the edition: later it could not set out any more.
    outbox.now_utc = lambda: MOMENT
    set_out(store)
    with writing(store) as db:
        one = dict(db.execute(select(page)).mappings().one())
        del one["id"]
        grasses = ("Bahiagrass", "Kentucky bluegrass", "Perennial ryegrass", "Tall fescue")
        others = [
            one | {"place": f"Invented place {n:02d}", "grass": grass, "content_key": f"{n}{grass}"}
            for n in range(60)
            for grass in grasses
        ]
        db.execute(insert(page), others)
    web = Visitor(make_app(Served(store, IDENTITY, KEY)))
    broken = Visitor(make_app(Served(None, IDENTITY, KEY)))  # type: ignore[arg-type]
    door = f"/leave/{leaving_token(KEY, IDENTITY.list_id, '1')}"
    week = "/editions/2018-W37"
    answers = {
        "leave": web.get(door),
        "not-understood": web.post(door),
        "left": web.post(door, data={"leave": "yes"}),
        "wrong-link": web.get("/leave/x"),
        "wrong-calendar": web.get("/calendar/x.ics"),
        "nothing": web.get("/"),
        "refused": web.ask("DELETE", door),
        "busy": broken.post(door, data={"leave": "yes"}),
        "editions": web.get("/editions"),
        "edition": web.get(week),
        "edition-part-2": web.get(f"{week}?part=2"),
    }
    digest = re.search(r'href="(2018-W37/\d+)"', answers["edition"].text)
    assert digest, "the edition names no digest"
    answers["digest"] = web.get(f"/editions/{digest[1]}")
    store.dispose()
    for name, answer in answers.items():
        assert answer.status_code == STATUS.get(name, 200), f"{name}: {answer.status_code}"
    return {name: answer.text for name, answer in answers.items()}


if __name__ == "__main__":
    sys.exit(check(pages, WIDTHS, "pages"))
