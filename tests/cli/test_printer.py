"""What reaches the terminal: nothing that steers it, in any encoding, and whatever breaks."""

from __future__ import annotations

import io
import json
import os
import shutil
import subprocess
import sys

import forked
import pytest
from typer.main import get_group

from advisor.base.text import control_in
from advisor.cli.main import app
from advisor.cli.printer import Printer
from advisor.demo.scenario import write_demo

pytestmark = pytest.mark.slow

ON = ("--on", "2026-09-05")
HOSTILE = "\x1b]0;owned\x07\x9b2J\u202egnp.exe"


def advisor(*words):
    return forked.advisor(*words, text=False)


def started(*words, **environment):
    """In an interpreter of its own, which settles encodings."""
    return subprocess.run(
        [sys.executable, "-m", "advisor", *map(str, words)],
        capture_output=True, env={**os.environ, **environment}, check=False, input=b"",
    )  # fmt: skip


@pytest.fixture(scope="module")
def site(tmp_path_factory):
    return write_demo(tmp_path_factory.mktemp("printed"))


def changed(site, tmp_path, old, new):
    """A copy of the site with another text in its site.yaml."""
    own = tmp_path / "site"
    shutil.copytree(site, own)
    text = (own / "site.yaml").read_text(encoding="utf-8")
    assert old in text
    (own / "site.yaml").write_text(text.replace(old, new, 1), encoding="utf-8")
    return own


@pytest.mark.parametrize(
    "words",
    [
        ("week", f"no{HOSTILE}"), ("ask", "SITE", HOSTILE), ("note", "SITE", HOSTILE),
        ("ask", "SITE", "dethatch", "--area", HOSTILE), ("wek", HOSTILE), (f"w{HOSTILE}",),
        ("rules", "show", HOSTILE), ("rules", "check", f"no{HOSTILE}"), ("identify", "--answers",
        HOSTILE), ("week", "SITE", "--on", HOSTILE), ("new", "NEW", "--where", HOSTILE),
        ("mail", "import", f"no{HOSTILE}.csv", "--list", "no"), ("undo", "SITE", f"r{HOSTILE}"),
    ],
)  # fmt: skip
def test_hostile_words_come_back_harmless(site, tmp_path, words):
    names = {"SITE": site, "NEW": tmp_path / "new"}
    done = advisor(*(names.get(word, word) for word in words))
    said = (done.stdout + done.stderr).decode()
    assert done.returncode == 2
    assert "Traceback" not in said
    assert control_in(said) is None


@pytest.mark.parametrize("bad", ["\x1b", "\x07", "\x9b", "\u202e", "\u2066", "\x00"])
@pytest.mark.parametrize("how", ["escape", "raw"])
def test_a_name_that_steers_is_refused(site, tmp_path, bad, how):
    given = f"\\u{ord(bad):04x}" if how == "escape" else bad
    own = changed(site, tmp_path, "name: Demo lawn (invented)", f'name: "Demo{given}lawn"')
    done = advisor("check", own)
    assert done.returncode == 2
    assert b"control character 0x" in done.stderr
    assert control_in(done.stderr.decode()) is None


@pytest.mark.parametrize("given", [r"Demo\nlawn", r"Demo\tlawn", r"a\r\nb"])
def test_a_name_of_two_lines_is_refused_before_a_calendar_is_written(site, tmp_path, given):
    own = changed(site, tmp_path, "name: Demo lawn (invented)", f'name: "{given}"')
    for words in (("check", own), ("year", own, *ON, "--ics", tmp_path / "x.ics")):
        done = advisor(*words)
        assert done.returncode == 2
        assert b"site.yaml:" in done.stderr
    assert not (tmp_path / "x.ics").exists()


@pytest.mark.slow
def test_a_note_that_steers_is_shown_harmless_in_every_form(site, tmp_path):
    own = tmp_path / "site"
    shutil.copytree(site, own)
    with (own / "journal.csv").open("a", encoding="utf-8") as journal:
        journal.write("r90,2026-09-04,observation,thatch_depth,1.2 in,front,seen\u202e\x9b2Jhere\n")
    for words in (("week",), ("year",), ("measure",), ("week", "--format", "html"),
                  ("week", "--json"), ("year", "--json")):  # fmt: skip
        done = advisor(words[0], own, *ON, *words[1:])
        assert done.returncode == 0, done.stderr
        assert control_in(done.stdout.decode()) is None
        if "--json" in words:
            json.loads(done.stdout)


@pytest.mark.sample(2)
@pytest.mark.parametrize("encoding", ["latin-1", "ascii", "cp1252"])
@pytest.mark.parametrize(
    "words", [("week", "SITE", *ON), ("year", "SITE", *ON), ("rules", "show", "overseeding")]
)
def test_a_poor_encoding_is_no_fault(site, words, encoding):
    words = [site if word == "SITE" else word for word in words]
    done = started(*words, PYTHONIOENCODING=encoding)
    assert (done.returncode, done.stderr) == (0, b"")
    whole = advisor(*words).stdout.decode()
    assert len(done.stdout.decode(encoding).splitlines()) == len(whole.splitlines())
    if encoding != "ascii":
        assert b"\\u" not in done.stdout  # all of our own words can be spelt


@pytest.mark.slow
def test_words_in_a_plain_locale_are_read_as_utf8(site, tmp_path):
    own = tmp_path / "site"
    shutil.copytree(site, own)
    plain = {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}
    for number, environment in enumerate((plain, {"LC_ALL": "POSIX"})):
        done = started("note", own, "thatch 0.8 in near the façade", *ON, **environment)
        assert done.returncode in (0, 2), number
        assert "Traceback" not in done.stderr.decode("latin-1")
        assert b"our fault" not in done.stderr
        done = started("note", own, f"thatch 0.{number + 6} in", *ON, **environment)
        assert done.returncode == 0


@pytest.mark.parametrize("command", ["note", "done", "ask"])
def test_words_that_are_no_text_are_refused(site, tmp_path, command):
    own = tmp_path / "site"
    shutil.copytree(site, own)
    before = (own / "journal.csv").read_bytes()
    done = started(command, own, b"mowed caf\xe9".decode("utf-8", "surrogateescape"), *ON)
    assert done.returncode == 2
    assert b"is not UTF-8 text" in done.stderr
    assert (own / "journal.csv").read_bytes() == before


def test_a_reader_that_has_gone_is_no_fault(site):
    for words in (("rules", "show", "overseeding"), ("week", site, *ON), ("--help",)):
        read, write = os.pipe()
        os.close(read)
        done = subprocess.run(
            [sys.executable, "-m", "advisor", *map(str, words)],
            stdout=write, stderr=subprocess.PIPE, check=False,
        )  # fmt: skip
        os.close(write)
        assert (done.returncode, done.stderr) == (0, b""), words


def test_what_is_to_be_kept_is_kept_though_the_reader_has_gone(site, tmp_path):
    own = tmp_path / "site"
    shutil.copytree(site, own)
    read, write = os.pipe()
    os.close(read)
    words = [sys.executable, "-m", "advisor", "week", str(own), *ON, "--keep"]
    assert subprocess.run(words, stdout=write, check=False).returncode == 0
    os.close(write)
    assert [path.name for path in own.rglob("2026-09-05.json")] == ["2026-09-05.json"]


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="no full device here")  # noqa: PTH110
@pytest.mark.parametrize("words", [("rules", "list"), ("week", "SITE", *ON), ("--help",),
                                   ("week", "SITE", *ON, "--format", "eml")])  # fmt: skip
def test_a_full_disk_is_one_line_and_status_2(site, words):
    with open("/dev/full", "wb") as full:  # noqa: PTH123
        done = subprocess.run(
            [sys.executable, "-m", "advisor", *(str(site) if w == "SITE" else w for w in words)],
            stdout=full, stderr=subprocess.PIPE, check=False, text=True,
        )  # fmt: skip
    assert done.returncode == 2
    assert done.stderr == ("advisor: standard output cannot be written: No space left on device\n")


def test_an_end_of_the_answers_is_no_fault(tmp_path):
    done = advisor("new", tmp_path / "new", "--where", "41.4, -81.9")
    assert done.returncode == 2
    assert b"stopped at a question" in done.stderr
    assert not (tmp_path / "new").exists()
    done = subprocess.run(
        [sys.executable, "-m", "advisor", "new", str(tmp_path / "new")],
        input=b"\xff\xfe\x1b[31m\n" * 4, capture_output=True, check=False,
    )  # fmt: skip
    assert done.returncode == 2
    assert control_in((done.stdout + done.stderr).decode()) is None


def test_bytes_and_tests_of_the_parser_go_through():
    raw = io.BytesIO()
    printer = Printer(io.TextIOWrapper(raw, encoding="utf-8"))
    with pytest.raises(AttributeError):
        printer.write(b"")
    printer.write("a\x1b")
    printer.write_bytes(b"\x1b\r\n")
    assert raw.getvalue() == b"a\\u001b\x1b\r\n"


def test_help_of_every_command_is_plain():
    def walk(group):
        for name in group.list_commands(None):
            found = group.get_command(None, name)
            yield from walk(found) if hasattr(found, "list_commands") else [found]

    for command in walk(get_group(app)):
        assert control_in(command.help or "") is None
