"""10,000 hostile rows of a list's file: refused with a reason, or kept as harmless text.

Header injection: RFC 5322 section 2.2, CVE-2024-6923. HTML: html5lib's strict parser. Formulas: the
first signs that OWASP's page on CSV injection names (= + - @ tab CR LF, and their wide forms).
"""

from __future__ import annotations

import csv
import random
import unicodedata
from collections import Counter
from email import message_from_bytes
from email.policy import default

import html5lib
import pytest
from mail_samples import DATED, IDENTITY, KEY

from advisor.base.problems import BadInput
from advisor.base.record import replace
from advisor.mailing.editions.build import build_edition
from advisor.mailing.letters.compose import Editor
from advisor.mailing.letters.letter import Letter, list_message
from advisor.mailing.mails.cells_text import csv_text
from advisor.mailing.mails.editor_words import checked_words
from advisor.mailing.store.edition_tables import copy_of
from advisor.mailing.store.reader_tables import all_readers, export_reader
from advisor.mailing.store.store import open_store
from advisor.mailing.use_cases.import_readers import import_readers
from advisor.render.digest.render import digest_text, mail_html
from advisor.render.digest.view import Digest

from .conftest import HEADER, TODAY, WEEK, write_list

pytestmark = pytest.mark.slow

ROWS = 10_000
COLUMNS = HEADER.split(",")
WEIGHTS = [{"name": 4, "permission_source": 4, "place": 0.2}.get(c, 1) for c in COLUMNS]
PLAIN = {
    "address": "", "name": "Ann", "place": "50010", "country": "US", "grass": "tall fescue",
    "area": "4000 ft2", "units": "us", "permission_on": "2018-01-01", "permission_source": "form",
    "thatch_depth": "0.8 in", "measured_on": "2018-08-20",
}  # fmt: skip
PIECES = (
    "\r\n", "\n", "\r", "\0", "\x0b", "\x1b", "\x85", "\u2028", "\u202e", "\ufeff", "\ud800", "\t",
    "Bcc: all@example.net", "\r\nBcc: all@example.net\r\n", "=?UTF-8?Q?=0A?=", "?=", "%0d%0aX: 1",
    "<script>alert(1)</script>", "</main>", "<b", "&lt;", "&#x3c;", "{{ 7*7 }}", "{% raw %}",
    "=cmd|'/c x'!A1", "=1+1", "+1+1", "-1+1", "@SUM(1)", "\t=1", "\r=1", "＝1+1", "＠x", "x;=1+1",
    "x,=1+1", 'x"', '",=1+1,"', "'", "--", ";", ",", " ", "é", "Ω", "\U0001f331", "ß", "O'Hara",
    "St. Mary's (north)", "tall", "0.8", "in", "2018", "..", "/etc/passwd", "'; DROP TABLE x;--",
    "x" * 130, "NaN", "1e999", "-0", "١٢",
)  # fmt: skip
FORMULA = "=+-@\t\r\n＝＋－＠"


def hostile_file(path, seed):
    """One or two fields of each row spoilt, in one of several ways; most rows well quoted."""
    draw = random.Random(seed)
    lines = [HEADER]
    # To look for a place that is like a strange name takes long, so these come again and again.
    places = ["".join(draw.choices(PIECES, k=draw.randint(1, 3))) for _ in range(25)]
    for number in range(ROWS):
        row = PLAIN | {"address": f"r{number}@example.org"}
        for field in draw.choices(COLUMNS, WEIGHTS, k=draw.choice((1, 1, 2))):
            piece = "".join(draw.choices(PIECES, k=draw.randint(1, 3)))
            row[field] = draw.choice((piece, piece + row[field], row[field] + piece))
            if field == "place":
                row[field] = draw.choice(places)
        cells = row.values()
        if draw.random() < 0.8:
            cells = ['"' + cell.replace('"', '""') + '"' for cell in cells]
        lines.append(",".join(cells))
    path.write_bytes("\n".join(lines).encode("utf-8", "surrogatepass"))


def harmless(text):
    return (
        not text.startswith(tuple(FORMULA))
        and not set(text) & set("<>")
        and "=?" not in text
        and not any(unicodedata.category(c) in ("Cc", "Cs", "Zl", "Zp") for c in text)
    )


@pytest.fixture(scope="module")
def taken(tmp_path_factory, book):
    folder = write_list(tmp_path_factory.mktemp("hostile") / "list", ())
    hostile_file(folder / "readers.csv", 11)
    store = open_store(folder / "mail.db")
    return folder, store, import_readers(folder / "readers.csv", store, book, TODAY)


def test_every_row_is_taken_or_refused_with_a_reason(taken):
    _, store, done = taken
    # A line feed in a cell makes two rows of one.
    assert done.rows >= ROWS
    assert done.added + done.refused_rows == done.rows
    assert all(refusal.why and refusal.line > 1 for refusal in done.refused)
    assert all(str(refusal).isprintable() for refusal in done.refused)
    # Neither a guard that refuses everything nor one that takes everything proves anything.
    assert done.added > 800
    assert done.refused_rows > 6_000
    by_field = Counter(refusal.field for refusal in done.refused)
    assert all(by_field[field] > 100 for field in (*COLUMNS, "row")), by_field
    assert len(all_readers(store)) == done.added


def test_what_was_taken_is_harmless(taken):
    _, store, _ = taken
    spoilt = Counter()
    for one in all_readers(store):
        told = {"name": one.name, "place": one.place, "permission_source": one.permission_source}
        told |= {"address": one.address.lstrip("+-"), **{m.fact: m.value for m in one.measured}}
        for field, text in told.items():
            assert field == "place" or harmless(text), (field, text)
            spoilt[field] += text not in (PLAIN.get(field), f"r{one.id}@example.org")
    # Names and sources may hold much that is odd and does no harm.
    assert spoilt["name"] > 100
    assert spoilt["permission_source"] > 100


def test_the_report_of_what_was_refused_runs_nothing_in_a_spreadsheet(taken):
    _, _, done = taken
    text = csv_text((str(r.line), r.field, r.found, r.why) for r in done.refused)
    tricks = sum(r.found.startswith(tuple(FORMULA)) for r in done.refused)
    assert tricks > 800
    for delimiter in ",;":  # a spreadsheet of some countries splits at semicolons
        rows = list(csv.reader(text.splitlines(), delimiter=delimiter))
        assert delimiter == ";" or len(rows) == len(done.refused)
        cells = [cell for row in rows for cell in row]
        assert not [cell for cell in cells if cell.startswith(tuple(FORMULA))]
        assert not [cell for cell in cells if not cell.isprintable()]


@pytest.mark.slow
def test_no_build_crashes_and_no_header_or_tag_gets_through(taken, book):
    folder, store, done = taken
    built = build_edition(folder, store, book, WEEK, TODAY, workers=2)
    assert built.failed == []
    assert built.written == done.added
    readers = all_readers(store)
    names = None
    for one in random.Random(5).sample(readers, 300):
        letter = copy_of(store, built.edition.id, one.id)
        raw = list_message(
            letter, IDENTITY, KEY, edition="2018-W37", dated=DATED, reader=str(one.id),
            to=one.address,
        )  # fmt: skip
        mail = message_from_bytes(raw, policy=default)
        names = names or list(mail)
        assert list(mail) == names
        assert [d for part in mail.walk() for d in part.defects] == []
        assert [a.addr_spec for a in mail["To"].addresses] == [one.address]
    for page in {copy_of(store, built.edition.id, one.id).html for one in readers}:
        root = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(page)
        tags = {e.tag for e in root.iter() if isinstance(e.tag, str)}
        assert not tags & {"script", "b", "img", "a"}
    told = export_reader(store, readers[0].address)
    assert told["reader"]["address"] == readers[0].address


def test_an_editors_words_stay_words():
    draw = random.Random(3)
    digest = Digest(
        site="A lawn", first=WEEK, last=WEEK, lead="Nothing.", gates=(), changed=(), plan=(),
        strip=(), tasks=(), finding=None, then="", held=(), dated=(), coming=(), leave="", water=(),
        weather="w", law="l",
    )  # fmt: skip
    bare = mail_html(digest).count("<")
    said = 0
    for _ in range(600):
        text = "".join(draw.choices(PIECES, k=draw.randint(1, 6)))
        try:
            words = checked_words(text, "note")
        except BadInput:
            continue
        if not words:
            continue
        said += 1
        told = Editor(note=words).lines
        whole = replace(digest, editor=told)
        page = mail_html(whole)
        paragraphs = [line for line in words.split("\n") if line]
        # A section, its heading and the paragraphs, each with its end; not one tag more.
        assert page.count("<") == bare + 4 + 2 * len(paragraphs), text
        raw = list_message(
            Letter("Lawn", digest_text(whole), page), IDENTITY, KEY, edition="2018-W37",
            dated=DATED, reader="1", to="a@example.org",
        )  # fmt: skip
        mail = message_from_bytes(raw, policy=default)
        assert [d for part in mail.walk() for d in part.defects] == []
        assert "Bcc" not in mail
        plain, _ = (part.get_content() for part in mail.iter_parts())
        assert "".join(words.split()) in "".join(plain.split())
    assert 120 < said < 500
