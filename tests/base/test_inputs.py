"""No output goes to what the program reads or keeps, under whatever name."""

from __future__ import annotations

import ast
from fnmatch import fnmatchcase
from pathlib import Path

import pytest

import advisor
from advisor.base.files import write_whole
from advisor.base.paths import KINDS, data_folder
from advisor.base.problems import BadInput

OF_A_SITE = (
    "site.yaml", "journal.csv", ".journal.csv.lock", "weather.csv", "weather/1996.csv",
    "weather/1997.txt", "normals.csv", "fetched/history.csv", "fetched/forecast.csv",
    "plan.json", "calendar.json", "digests/2026-09-05.json",
)  # fmt: skip
OF_A_LIST = (
    "list.yaml", "mail.db", "mail.db-wal", "mail.db-journal", "readers.csv", "weather/places.csv",
    "weather/quince.csv",
)  # fmt: skip
OF_RULES = ("facts.yaml", "operations/lime.yaml", "laws/us_oh.yml", "supplies.yaml")
ALL = [("site.yaml", name) for name in OF_A_SITE]
ALL += [("list.yaml", name) for name in OF_A_LIST]
ALL += [("facts.yaml", name) for name in OF_RULES]


def filled(folder: Path, mark: str, name: str) -> Path:
    """A folder with its mark, and a file in it."""
    file = folder / name
    file.parent.mkdir(parents=True, exist_ok=True)
    (folder / mark).write_text("mine")
    file.write_text("mine")
    return file


def refused(path: Path, reads: list[Path] | None = None) -> bool:
    try:
        write_whole(path, "a page", reads=reads or [])
    except BadInput as error:
        (said,) = map(str, error.problems)
        begins = f"{path}: is not written to: the program reads or keeps it as "
        return said.startswith(begins) and said.endswith("; name another file")
    return False


@pytest.mark.parametrize(("mark", "name"), ALL)
def test_an_input_stays_as_it_is_under_any_name(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, mark: str, name: str
) -> None:
    site = tmp_path / "S"
    file = filled(site, mark, name)
    (tmp_path / "other").symlink_to(site)
    (tmp_path / "link").symlink_to(file)
    (tmp_path / "link of link").symlink_to("link")
    (tmp_path / "hard").hardlink_to(file)
    shouted = file.with_name(file.name.upper())
    monkeypatch.chdir(file.parent)
    paths = [
        file, shouted, Path(file.name), Path(f"./{file.name}"), site / ".." / "S" / name,
        tmp_path / "other" / name, tmp_path / "link", tmp_path / "link of link",
    ]  # fmt: skip
    assert [path for path in paths if not refused(path)] == []
    assert refused(tmp_path / "hard", [site])
    assert file.read_text() == "mine"
    assert (tmp_path / "hard").samefile(file)
    assert sorted(p.name for p in tmp_path.iterdir()) == [
        "S", "hard", "link", "link of link", "other",
    ]  # fmt: skip


@pytest.mark.parametrize(("mark", "name"), ALL)
def test_a_page_never_takes_the_name_of_an_input_that_is_missing(
    tmp_path: Path, mark: str, name: str
) -> None:
    file = filled(tmp_path, mark, name)
    if name != mark:
        file.unlink()
        assert refused(file)
        assert not file.exists()


@pytest.mark.parametrize("reads", ["folder", "file"])
def test_an_input_that_lies_elsewhere_is_known_by_what_links_to_it(
    tmp_path: Path, reads: str
) -> None:
    """As where a site's weather.csv is a link to a record that several sites share."""
    station = tmp_path / "station.csv"
    station.write_text("mine")
    (tmp_path / "S").mkdir()
    (tmp_path / "S" / "site.yaml").write_text("mine")
    (tmp_path / "S" / "weather.csv").symlink_to(station)
    assert refused(station, [tmp_path / "S" if reads == "folder" else station])
    assert refused(tmp_path / "S" / "weather.csv")
    assert station.read_text() == "mine"


def test_a_key_is_an_input(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "key").write_text("secret")
    monkeypatch.setenv("ADVISOR_MAIL_KEY_FILE", str(tmp_path / "key"))
    (tmp_path / "link").symlink_to("key")
    assert refused(tmp_path / "key")
    assert refused(tmp_path / "link")
    assert (tmp_path / "key").read_text() == "secret"


@pytest.mark.parametrize(
    "path",
    [
        data_folder("rules") / "facts.yaml",
        data_folder("rules") / "operations" / "page.html",
        data_folder("templates") / "digest.html",
        Path(advisor.__file__),
    ],
)
def test_the_program_does_not_write_over_itself(path: Path) -> None:
    before = path.read_bytes() if path.exists() else None
    assert refused(path)
    assert (path.read_bytes() if path.exists() else None) == before


@pytest.mark.parametrize(
    "name", ["page.html", "year.ics", "digests/page.html", "plans/week.json", "weather.html"]
)
def test_pages_may_lie_in_a_sites_folder(tmp_path: Path, name: str) -> None:
    file = filled(tmp_path, "site.yaml", name)
    write_whole(file, "a page", reads=[tmp_path])
    assert file.read_text() == "a page"


def test_elsewhere_any_name_will_do(tmp_path: Path) -> None:
    for name in ("weather.csv", "journal.csv", "plan.json", "normals.csv"):
        write_whole(tmp_path / name, "a page")
        assert (tmp_path / name).read_text() == "a page"


IN_FOLDERS = {"PLACES_FILE": "weather/", "HISTORY_FILE": "fetched/", "FORECAST_FILE": "fetched/"}


def named_files() -> list[tuple[str, str]]:
    """Each constant of the program that names a file or folder of its own, with where it is."""
    root = Path(advisor.__file__).parent
    found = []
    for module in sorted(root.rglob("*.py")):
        for node in ast.parse(module.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.Assign) and isinstance(node.value, ast.Constant):
                for target in node.targets:
                    name = getattr(target, "id", "")
                    if name.endswith(("_FILE", "_FOLDER")) and isinstance(node.value.value, str):
                        value = IN_FOLDERS.get(name, "") + node.value.value
                        value += "/2026.json" * name.endswith("_FOLDER")
                        found.append((f"{module.relative_to(root)}: {name}", value))
    return found


def test_every_file_that_the_program_names_is_known_as_an_input() -> None:
    found = named_files()
    assert len(found) >= 12
    known = [pattern for kind in KINDS for pattern in kind.inputs]
    unknown = [
        (where, name) for where, name in found if not any(fnmatchcase(name, p) for p in known)
    ]
    assert unknown == []


WRITES = {
    "write_text",
    "write_bytes",
    "touch",
    "mkstemp",
    "NamedTemporaryFile",
    "rename",
    "replace",
}
MAY_WRITE = {
    "base/files.py": "the one writer",
    "records/append_journal.py": "the journal only grows",
    "cli/printer.py": "standard output and the terminal",
    "cli/mail_preview.py": "a page for the browser, in the folder for passing files",
    "mailing/editions/packed.py": "weather for a process elsewhere, in a folder that passes",
}


def test_nothing_else_writes_files() -> None:
    """Each call that makes or opens a file to write to; `replace` of texts and dates are not."""
    root, found = Path(advisor.__file__).parent, set()
    for module in root.rglob("*.py"):
        for node in ast.walk(ast.parse(module.read_text(encoding="utf-8"))):
            if not isinstance(node, ast.Call):
                continue
            name = getattr(node.func, "attr", getattr(node.func, "id", ""))
            given = [*node.args, *(word.value for word in node.keywords if word.arg == "mode")]
            texts = [part.value for part in given if isinstance(part, ast.Constant)]
            modes = [t for t in texts if isinstance(t, str) and set(t) <= set("rwaxbt+")]
            to_write = name in ("open", "fdopen") and any(set(mode) & set("wax+") for mode in modes)
            moves = name in ("rename", "replace") and len(node.args) == 1 and not node.keywords
            if to_write or (name in WRITES and (moves or name not in ("rename", "replace"))):
                found.add(module.relative_to(root).as_posix())
    assert found == set(MAY_WRITE)


def test_the_lists_here_are_what_the_folders_hold() -> None:
    patterns = {pattern for kind in KINDS for pattern in kind.inputs}
    names = [name for _, name in ALL]
    assert [p for p in patterns if not any(fnmatchcase(name, p) for name in names)] == []


def test_links_in_a_circle_are_no_fault_of_ours(tmp_path: Path) -> None:
    (tmp_path / "a").symlink_to("b")
    (tmp_path / "b").symlink_to("a")
    with pytest.raises(BadInput, match=r"page\.html: cannot be written: there is no folder"):
        write_whole(tmp_path / "a" / "page.html", "a page")
