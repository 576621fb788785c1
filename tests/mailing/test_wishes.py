"""What readers wish of the mailing is kept, and honoured in what is built and sent."""

from __future__ import annotations

import datetime as dt
from email import message_from_bytes
from email.policy import strict

import pytest
from mail_samples import DATED, IDENTITY, KEY

from advisor.base.record import replace
from advisor.mailing.editions.build import build_edition
from advisor.mailing.letters.compose import Composer, Editor, reader_digest, worth_a_mail
from advisor.mailing.letters.letter import list_message
from advisor.mailing.letters.letter_key import key_of
from advisor.mailing.outbox.run import put_on_its_way, status_of
from advisor.mailing.readers.weather_places import cell_weather, read_places
from advisor.mailing.readers.wishes import Wishes
from advisor.mailing.store.edition_tables import approve, copy_of
from advisor.mailing.store.reader_tables import all_readers, export_reader, find_reader, wish
from advisor.mailing.store.store import open_store
from advisor.mailing.use_cases.import_readers import import_readers
from advisor.render.digest.view import Line

from .conftest import HEADER, TODAY, write_list

WINTER = dt.date(2018, 1, 15)  # an idle week for tall fescue in Iowa
NAMES = ("plain", "text", "quiet", "metric")


@pytest.fixture
def mailing(tmp_path, book):
    """Four readers alike but for what they wish."""
    folder = write_list(tmp_path / "list", ())
    wished = {"plain": ",,", "text": ",text,", "quiet": ",,needed", "metric": "metric,,all"}
    lines = [f"{HEADER.replace('units,', '')},units,form,weeks"]
    lines += [f"{who}@example.org,X,50010,US,tall fescue,,2018-01-01,form,,,{wished[who]}"
              for who in NAMES]  # fmt: skip
    (folder / "readers.csv").write_text("\n".join(lines) + "\n")
    store = open_store(folder / "mail.db")
    done = import_readers(folder / "readers.csv", store, book, TODAY)
    assert (done.added, done.refused) == (4, ())
    yield folder, store
    store.dispose()


def test_what_is_wished_is_built_and_put_on_its_way(mailing, book, monkeypatch):
    folder, store = mailing
    built = build_edition(folder, store, book, WINTER, TODAY, workers=1)
    assert (built.distinct, built.written, built.failed) == (4, 4, [])
    # Text or HTML, and whether a mail goes out at all, decide nothing; units do.
    assert built.decided == 2
    letters = {
        one.address.split("@")[0]: copy_of(store, built.edition.id, one.id)
        for one in all_readers(store)
    }
    assert letters["text"].text == letters["plain"].text
    assert (letters["text"].html, letters["quiet"].is_none) == ("", True)
    assert " in\n" not in letters["metric"].text
    moment = dt.datetime(2018, 1, 15, 6, tzinfo=dt.UTC)
    assert approve(store, built.edition.id, moment.replace(tzinfo=None))
    monkeypatch.setattr("advisor.mailing.outbox.outbox.now_utc", lambda: moment)
    assert put_on_its_way(store, built.edition.id, IDENTITY, KEY) == 3
    assert put_on_its_way(store, built.edition.id, IDENTITY, KEY) == 0
    assert status_of(store, built.edition.id).copies == 3


def test_a_mail_of_text_alone_is_sound(mailing, book):
    folder, store = mailing
    cell = read_places(folder)[0]
    weather = cell_weather(folder, cell, TODAY)
    composer = Composer(weather, book, WINTER, TODAY, Editor("Hello."))
    key = key_of(find_reader(store, "text@example.org"), cell)
    raw = list_message(composer.letter(key), IDENTITY, KEY, edition="2018-W03", dated=DATED,
                       reader="1", to="text@example.org")  # fmt: skip
    mail = message_from_bytes(raw, policy=strict)
    assert (mail.get_content_type(), mail.defects) == ("text/plain", [])
    assert mail["List-Unsubscribe-Post"]
    text = mail.get_content()
    assert "Leave the list: https://lawn.example.org/leave/" in text
    assert "FROM THE EDITOR" in text


def test_a_week_with_work_or_a_correction_reaches_everybody(mailing, book):
    folder, store = mailing
    cell = read_places(folder)[0]
    weather = cell_weather(folder, cell, TODAY)
    key = key_of(find_reader(store, "quiet@example.org"), cell)
    for editor, none in ((Editor("Hello."), True), (Editor(correction="Not 3 in."), False)):
        composer = Composer(weather, book, WINTER, TODAY, editor)
        assert composer.letter(key).is_none == none
    week = composer.week_of(key)
    idle = reader_digest(week)
    assert not worth_a_mail(idle)
    assert worth_a_mail(replace(idle, dated=(Line("Overseeding", "By 9 Sep: order seed."),)))
    autumn = Composer(weather, book, dt.date(2018, 9, 10), TODAY, Editor())
    assert not autumn.letter(key).is_none


def test_a_later_file_that_says_nothing_leaves_wishes_alone(mailing, book):
    folder, store = mailing
    assert wish(store, "Plain@example.org", Wishes(units="metric")).units == "metric"
    assert wish(store, "plain@example.org", Wishes(form="text")).wishes.units == "metric"
    again = import_readers(folder / "readers.csv", store, book, TODAY)
    assert (again.unchanged, again.changed) == (4, 0)
    kept = find_reader(store, "plain@example.org")
    assert (kept.units, kept.wishes) == ("metric", Wishes("metric", "text", None))
    assert kept.measured == ()
    told = export_reader(store, "plain@example.org")["reader"]["extra"]["wishes"]
    assert told == {"units": "metric", "form": "text"}
    text = (folder / "readers.csv").read_text()
    (folder / "readers.csv").write_text(text.replace("form,,,,,\n", "form,,,us,both,\n"))
    assert import_readers(folder / "readers.csv", store, book, TODAY).changed == 1
    assert find_reader(store, "plain@example.org").wishes == Wishes("us", "both", None)
    assert wish(store, "nobody@example.org", Wishes(form="text")) is None


def test_what_cannot_be_wished_is_refused(mailing, book):
    folder, store = mailing
    text = (folder / "readers.csv").read_text()
    (folder / "readers.csv").write_text(text.replace(",text,", ",pdf,").replace("needed", "some"))
    refused = import_readers(folder / "readers.csv", store, book, TODAY).refused
    assert [(r.field, r.found, r.why) for r in refused] == [
        ("form", "pdf", "is no form of a mail; wanted both or text"),
        ("weeks", "some", "is no choice of weeks; wanted all or needed"),
    ]
    assert "wishes" not in book.vocabulary.definitions
