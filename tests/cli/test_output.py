"""Every option that names a file to write: it spares the inputs, and replaces a page whole."""

from __future__ import annotations

import hashlib
import importlib
import inspect
import pkgutil
import sys
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import get_type_hints

import pytest

import advisor.cli
from advisor.cli.main import main
from advisor.demo.mailing.list_folder import KEY, TODAY, reader_rows
from advisor.demo.scenario import SITE, write_demo
from advisor.rulebook.read_rulebook import read_rulebook

ON = ("--on", "2026-09-05")
ZONES = (
    "water: {irrigated: true, can_water_seed: true, zones: "
    "[{name: all, areas: [front, back], precipitation_rate: 0.5 in/h, uniformity: 70 %}]}"
)
READER = next(iter(reader_rows(1)))[0]
OF_LIST = ("--list", "L", "--week", str(TODAY))
WRITING = {
    "week --out": ("week", "S", *ON),
    "year --html": ("year", "S", *ON),
    "year --ics": ("year", "S", *ON),
    "amounts --html": ("amounts", "S", *ON),
    "workplan --html": ("workplan", "S", *ON, "--from", "2026-09-12"),
    "waterplan timetable --ics": ("waterplan", "timetable", "S", *ON),
    "rules show --html": ("rules", "show", "lime"),
    "mail import --report": ("mail", "import", "L/readers.csv", "--list", "L"),
    "mail preview --html": ("mail", "preview", READER, *OF_LIST),
    "mail preview --eml": ("mail", "preview", READER, *OF_LIST),
    "mail export --out": ("mail", "export", READER, "--list", "L"),
}
NAMED = {"rules show --html": "show_rules page", "mail import --report": "import_ report"}
"""Those whose function, or its argument, has another name than the command."""
OTHERS = {"replay rules", "send log", "demo to"}
"""What is read, and the folder that the demo fills."""
OF_A_SITE = ("site.yaml", "journal.csv", "weather.csv", "normals.csv", "calendar.json", "plan.json")
OF_A_LIST = ("list.yaml", "mail.db", "readers.csv", "weather/places.csv")


def path_options() -> Iterator[str]:
    """Each option of the commands that takes a path, as its function and argument."""
    for found in pkgutil.iter_modules(advisor.cli.__path__, "advisor.cli."):
        module = importlib.import_module(found.name)
        for name, function in inspect.getmembers(module, inspect.isfunction):
            with suppress(NameError):  # no command: it names what only the type checker sees
                hints = get_type_hints(function, include_extras=True)
                for argument, hint in hints.items():
                    kinds = [type(told).__name__ for told in getattr(hint, "__metadata__", ())]
                    if "OptionInfo" in kinds and "Path" in str(hint.__origin__):
                        yield f"{name} {argument}"


def test_every_option_that_takes_a_path_is_tried_here() -> None:
    tried = {
        NAMED.get(option) or " ".join(option.split()[-2:]).replace("--", "") for option in WRITING
    }
    found = {option for option in path_options() if option.split()[-1] != "folder"}
    assert found - OTHERS == tried


@pytest.fixture(scope="module")
def folders(tmp_path_factory):
    """S, a site with every input that a site may have; L, a list with an edition."""
    root = tmp_path_factory.mktemp("output")
    site = write_demo(root).rename(root / "S")
    text = SITE.replace("water: {irrigated: true, can_water_seed: true}", ZONES)
    assert text != SITE
    (site / "site.yaml").write_text(text)
    lines = (site / "weather.csv").read_text().splitlines(keepends=True)
    (site / "weather.csv").write_text("".join(lines[:2] + lines[-800:]))
    monkeypatch = pytest.MonkeyPatch()
    book = read_rulebook()
    monkeypatch.setattr("advisor.rulebook.read_rulebook.read_rulebook", lambda: book)
    monkeypatch.setenv("ADVISOR_MAIL_KEY", KEY)
    monkeypatch.chdir(root)
    for words in (
        ("workplan", "S", *ON, "--from", "2026-09-12", "--keep"),
        ("year", "S", *ON, "--ics", "kept.ics"),
        ("mail", "demo", "L", "--readers", "60", "--workers", "2"),
    ):
        assert status(words) == 0
    (root / "kept.ics").unlink()
    yield root
    monkeypatch.undo()


def status(words: tuple[str, ...]) -> int:
    """A command in this process, and what it ends with."""
    before = sys.argv
    sys.argv = ["advisor", *words]
    try:
        main()
    except SystemExit as ended:
        return ended.code if isinstance(ended.code, int) else 0
    finally:
        sys.argv = before
    return 0


def told(folder: Path) -> dict[str, str]:
    """Each file below a folder, by a digest of what it holds; not SQLite's passing ones."""
    return {
        str(path.relative_to(folder)): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and "mail.db-" not in path.name
    }


@pytest.fixture
def ways(folders: Path, request: pytest.FixtureRequest) -> Iterator[list[str]]:
    """The inputs of the option's site or list, each named in another way."""
    folder, inputs = ("L", OF_A_LIST) if "L" in WRITING[request.param] else ("S", OF_A_SITE)
    made = [f"{folder}/{name}" for name in inputs if (folders / folder / name).exists()]
    assert len(made) >= 4
    links = [folders / "link", folders / "hard"]
    links[0].symlink_to(folders / made[2])
    links[1].hardlink_to(folders / made[3])
    head, _, last = made[-1].rpartition("/")
    yield [made[0], f"{folder}/../{made[1]}", "link", "hard", f"{head}/{last.upper()}"]
    for link in links:
        link.unlink()


@pytest.mark.slow
@pytest.mark.sample(5)
@pytest.mark.parametrize(("ways", "option"), [(name, name) for name in WRITING], indirect=["ways"])
def test_no_input_is_written_over(folders: Path, capsys, ways: list[str], option: str) -> None:
    before = told(folders)
    for way in ways:
        if way == "hard" and option == "rules show --html":
            continue  # a rule's page knows of no site; a hard link is parted from, not followed
        assert status((*WRITING[option], option.split()[-1], way)) == 2, way
        assert (
            f"{way}: is not written to: the program reads or keeps it as "
            in capsys.readouterr().err
        )
    assert told(folders) == before


@pytest.mark.slow
@pytest.mark.sample(5)
@pytest.mark.parametrize("option", WRITING)
def test_a_page_is_replaced_whole(folders: Path, option: str) -> None:
    page = folders / "page"
    page.write_text("old")
    inode = page.stat().st_ino
    holder = page.open()
    words = (*WRITING[option], option.split()[-1], "page")
    assert status(words) == (2 if "import" in words else 0)  # five of the demo's rows are refused
    # Whoever reads the old page reads it to its end.
    assert holder.read() == "old"
    holder.close()
    assert page.stat().st_ino != inode
    assert len(page.read_bytes()) > 100
    page.unlink()
    assert not list(folders.rglob("*.part"))


def test_what_a_site_lacks_is_not_made_of_a_page(folders: Path, capsys) -> None:
    assert status(("week", "S", *ON, "--out", "S/normals.csv")) == 2
    assert not (folders / "S" / "normals.csv").exists()
    assert "S/normals.csv: is not written to" in capsys.readouterr().err


def test_the_demo_never_takes_the_place_of_a_keepers_site(folders: Path, capsys) -> None:
    (folders / "mine").mkdir()
    keepers = folders / "S" / "site.yaml"
    text = keepers.read_text().replace("Demo lawn (invented)", "Home")
    site = folders / "mine" / "site"
    site.mkdir()
    (site / "site.yaml").write_text(text)
    before = told(folders / "mine")
    assert status(("demo", "--to", "mine")) == 2
    assert "mine/site/site.yaml: is there already and not the demo's" in capsys.readouterr().err
    assert told(folders / "mine") == before


def test_the_demo_never_takes_the_place_of_other_files(folders: Path, capsys) -> None:
    (folders / "papers").mkdir()
    (folders / "papers" / "digest.txt").write_text("mine")
    assert status(("demo", "--to", "papers")) == 2
    said = capsys.readouterr().err
    assert said.startswith("papers/digest.txt: is there already; the demo would write over it")
    assert told(folders / "papers").keys() == {"digest.txt"}


@pytest.mark.slow
def test_the_demo_can_be_repeated(folders: Path, capsys) -> None:
    assert status(("demo", "--to", "shown")) == 0
    first = capsys.readouterr().out
    before = told(folders / "shown")
    assert status(("note", "shown/site", "thatch 0.8 inch", *ON)) == 0
    (folders / "shown" / "mine.txt").write_text("mine")
    capsys.readouterr()
    assert status(("demo", "--to", "shown")) == 0
    assert capsys.readouterr().out == first
    after = told(folders / "shown")
    assert {after.pop("mine.txt"), after.pop("site/.journal.csv.lock")}
    assert after == before


def test_the_demo_of_the_mailing_never_takes_the_place_of_a_list(folders: Path, capsys) -> None:
    """As of one whose store is a database elsewhere."""
    (folders / "theirs").mkdir()
    (folders / "theirs" / "list.yaml").write_text("format: 1\n")
    assert status(("mail", "demo", "theirs", "--readers", "60")) == 2
    assert "theirs: holds a list already" in capsys.readouterr().err
    assert told(folders / "theirs").keys() == {"list.yaml"}
