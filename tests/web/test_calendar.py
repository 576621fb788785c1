"""The calendar of a reader: RFC 5545 and 7986 (the file), RFC 9110 (asking for it again).

The file is read back by icalendar's parser and by vobject, a second one.
"""

from __future__ import annotations

import datetime as dt
import re
from email import message_from_bytes
from email.policy import default

import icalendar
import pytest
import vobject
from mail_samples import IDENTITY, KEY
from typer.testing import CliRunner
from web_list import WEB, build, set_out

from advisor.base.record import replace
from advisor.cli.main import app
from advisor.mailing.letters.letter import list_message
from advisor.mailing.outbox.run import letter_of
from advisor.mailing.store.calendar_links import calendar_url, renew_link, revoke_link
from advisor.mailing.store.edition_tables import open_edition
from advisor.mailing.store.reader_tables import erase_reader, export_reader, suppress
from advisor.render.yearly.calendar_check import check_calendar

ON = dt.date(2018, 9, 10)


def path(store, reader):
    return calendar_url(store, WEB, KEY, reader).removeprefix(WEB.web_url)


def events(raw):
    """By UID: the season's name, its days and the number of the revision; by both parsers."""
    found = {
        str(e["uid"]): (str(e["summary"]), e["dtstart"].dt, e["dtend"].dt, int(e["sequence"]))
        for e in icalendar.Calendar.from_ical(raw).walk("VEVENT")
    }
    assert found == {
        e.uid.value: (e.summary.value, e.dtstart.value, e.dtend.value, int(e.sequence.value))
        for e in vobject.readOne(raw.decode()).vevent_list
    }
    return found


def seasons(found):
    return sorted(event[:3] for event in found.values())


def test_the_file(web, store):
    done = web.get(path(store, 1))
    assert (done.status_code, done.headers["content-type"]) == (200, "text/calendar; charset=utf-8")
    assert done.headers["cache-control"].startswith("private")
    assert check_calendar(done.content) == ()
    found = events(done.content)
    assert len(found) >= 8
    # The published season of the state for sowing a cool-season lawn is August and September
    # (Iowa State University Extension, tests/data/published_seasons.csv).
    seeded = "Overseeding, if it is needed: in season"
    sowing = min(event for event in found.values() if event[0] == seeded)
    # The bar ends on the cautious last good day, so not much before the published one.
    assert sowing[1] <= dt.date(2018, 8, 15) < dt.date(2018, 9, 8) <= sowing[2]
    # RFC 7986 section 5.7: a subscriber is told how often to look.
    assert b"REFRESH-INTERVAL;VALUE=DURATION:" in done.content
    assert b"advisor " not in done.content
    unfolded = re.sub(rb"\r\n[ \t]", b"", done.content)
    assert b"Mind: " in unfolded
    assert IDENTITY.name.encode() in unfolded


def test_same_bytes_and_304(web, store):
    first, again = web.get(path(store, 1)), web.get(path(store, 1))
    assert first.content == again.content
    tag = first.headers["etag"]
    assert re.fullmatch(r'"[\x21\x23-\x7e]+"', tag)  # RFC 9110 section 8.8.3, a strong one
    # Section 13.1.2: a list, weak comparison, and the star.
    for asked in (tag, f'"x", {tag}', f"W/{tag}", "*"):
        done = web.get(path(store, 1), headers={"If-None-Match": asked})
        assert (done.status_code, done.content) == (304, b"")
        # Section 15.4.5: what a 200 would have said.
        assert (done.headers["etag"], done.headers["cache-control"]) == (
            tag, first.headers["cache-control"],
        )  # fmt: skip
    for asked in ('"x"', tag.strip('"'), tag.replace('"', "'"), ""):
        assert web.get(path(store, 1), headers={"If-None-Match": asked}).status_code == 200
    head = web.ask("HEAD", path(store, 1))
    assert {k: head.headers[k] for k in ("etag", "content-type")} == {
        "etag": tag, "content-type": first.headers["content-type"],
    }  # fmt: skip


def test_readers_share_seasons_and_nothing_else(web, store):
    ann, bo, fay = (events(web.get(path(store, id)).content) for id in (1, 2, 6))
    assert seasons(ann) == seasons(bo) != seasons(fay)
    # RFC 5545 section 3.8.4.7: a UID is of one event in the world.
    assert not ann.keys() & bo.keys()


def test_where_no_season_can_be_told_the_calendar_says_why(web, store):
    for reader, why in ((7, b"First find out which grass"), (8, b"No weather record lies near")):
        raw = web.get(path(store, reader)).content
        assert check_calendar(raw) == ()
        assert [e[0] for e in events(raw).values()] == ["Lawn seasons: none can be told yet"]
        assert why in re.sub(rb"\r\n[ \t]", b"", raw)


def test_a_link_can_be_taken_back_and_renewed(web, store):
    old = path(store, 1)
    revoke_link(store, 1)
    assert calendar_url(store, WEB, KEY, 1) == ""
    assert web.get(old).status_code == 404
    renew_link(store, 1)
    new = path(store, 1)
    assert new != old
    assert (web.get(old).status_code, web.get(new).status_code) == (404, 200)
    renew_link(store, 1)
    assert [web.get(link).status_code for link in (old, new, path(store, 1))] == [404, 404, 200]
    assert web.get(path(store, 2)).status_code == 200
    assert web.get(old).text == web.get("/calendar/x.ics").text
    assert export_reader(store, "a@example.org")["calendar_link"] == {"number": 3, "works": True}


def test_it_ends_with_the_list(web, store):
    suppress(store, "a@example.org", "asked to leave", ON)
    assert web.get(path(store, 1)).status_code == 404
    link = path(store, 2)
    erase_reader(store, "b@example.org", ON)
    assert web.get(link).status_code == 404


def test_the_next_edition_moves_no_event_by_a_little(web, store, folder, book):
    first = events(web.get(path(store, 1)).content)
    open_edition(store, "list", ON + dt.timedelta(7), book.hash)
    assert events(web.get(path(store, 1)).content) == first  # a draft is not shown
    build(store, folder, book, ON + dt.timedelta(7), editor=False)
    second = web.get(path(store, 1)).content
    assert check_calendar(second) == ()
    after = events(second)
    same = first.keys() & after.keys()
    assert len(same) >= 6
    # RFC 5545 section 3.8.7.4: the number rises when the dates are others, and never falls.
    for uid in same:
        moved = first[uid][1:3] != after[uid][1:3]
        assert after[uid][3] == first[uid][3] + moved
    assert all(number == 0 for *_, number in first.values())


def test_the_link_is_in_the_mail_only_where_there_are_pages(store):
    set_out(store)
    link = calendar_url(store, WEB, KEY, 1)
    assert calendar_url(store, replace(WEB, web_url=""), KEY, 1) == ""
    sample = {"edition": "2018-W37", "dated": dt.datetime(2018, 9, 10, tzinfo=dt.UTC)}
    for calendar in (link, ""):
        raw = list_message(letter_of(store, 1), WEB, KEY, **sample, reader="1", to="a@example.org",
                           calendar=calendar)  # fmt: skip
        for kind in ("plain", "html"):
            text = message_from_bytes(raw, policy=default).get_body((kind,)).get_content()
            assert ("/calendar/" in text) == bool(calendar)
            assert not calendar or calendar in text


@pytest.mark.parametrize(
    ("options", "said"),
    [
        ((), "https://lawn.example.org/calendar/"),
        (("--renew",), "https://lawn.example.org/calendar/"),
        (("--revoke",), "Taken back"),
    ],
)
def test_the_command(store, folder, web, options, said):
    given = ["mail", "calendar-link", "a@example.org", "--list", str(folder), *options]
    done = CliRunner().invoke(app, given)
    assert (done.exit_code, done.output[: len(said)]) == (0, said)
    if not options:
        assert web.get(done.output.strip().removeprefix(WEB.web_url)).status_code == 200
