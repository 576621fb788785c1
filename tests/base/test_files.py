"""A file is replaced whole or left as it was."""

import os
import resource
import stat
import subprocess
import sys
from contextlib import suppress
from pathlib import Path

import pytest

from advisor.base.files import whole_file, whole_folder, write_whole
from advisor.base.problems import BadInput


def mode(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


def test_a_file_is_written_and_replaced(tmp_path: Path) -> None:
    path = tmp_path / "year.ics"
    write_whole(path, b"first")
    write_whole(path, "zweite – °C")
    assert path.read_text(encoding="utf-8") == "zweite – °C"
    assert [file.name for file in tmp_path.iterdir()] == ["year.ics"]


def test_a_link_goes_on_pointing_to_the_file(tmp_path: Path) -> None:
    (tmp_path / "there").mkdir()
    link = tmp_path / "year.ics"
    link.symlink_to(tmp_path / "there" / "real.ics")
    write_whole(link, b"new")
    assert link.is_symlink()
    assert (tmp_path / "there" / "real.ics").read_bytes() == b"new"


@pytest.mark.parametrize("step", ["os.fsync", "pathlib.Path.replace"])
def test_a_failure_leaves_the_old_file_and_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: str
) -> None:
    path = tmp_path / "year.ics"
    path.write_bytes(b"old")

    def fail(*given: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(step, fail)
    with pytest.raises(BadInput) as caught:
        write_whole(path, b"new")
    assert str(caught.value) == f"{path}: cannot be written: No space left on device"
    assert path.read_bytes() == b"old"
    assert [file.name for file in tmp_path.iterdir()] == ["year.ics"]


@pytest.mark.parametrize("size", [1, 5_000, 100_000])
def test_a_disk_that_takes_only_a_part(tmp_path: Path, size: int) -> None:
    """The system itself ends the writing here, at a limit on the size of files."""
    path = tmp_path / "year.ics"
    path.write_bytes(b"old")
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, before[1]))
    try:
        with pytest.raises(BadInput, match="cannot be written: File too large"):
            write_whole(path, b"new" * 100_000)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)
    assert path.read_bytes() == b"old"
    assert [file.name for file in tmp_path.iterdir()] == ["year.ics"]


def test_what_fails_in_between_leaves_the_old_file(tmp_path: Path) -> None:
    path = tmp_path / "report.csv"
    path.write_bytes(b"old")
    with suppress(ZeroDivisionError), whole_file(path) as file:
        file.write(b"new")
        raise ZeroDivisionError
    assert path.read_bytes() == b"old"
    assert [file.name for file in tmp_path.iterdir()] == ["report.csv"]


def test_a_folder_is_not_replaced(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="cannot be written: Is a directory"):
        write_whole(tmp_path, b"new")


def test_a_folder_that_is_missing_is_named(tmp_path: Path) -> None:
    with pytest.raises(BadInput) as caught:
        write_whole(tmp_path / "no" / "year.ics", b"new")
    assert str(caught.value) == (
        f"{tmp_path}/no/year.ics: cannot be written: there is no folder {tmp_path}/no; "
        "make it first"
    )
    (tmp_path / "file").write_text("old")
    with pytest.raises(BadInput, match=r"there is no folder .*/file; make it first"):
        write_whole(tmp_path / "file" / "year.ics", b"new")


def test_a_device_is_written_to() -> None:
    write_whole(Path(os.devnull), b"new")
    assert not Path(os.devnull).is_file()
    with pytest.raises(BadInput, match="/dev/full: cannot be written: No space left on device"):
        write_whole(Path("/dev/full"), b"new")


@pytest.mark.parametrize("name", ["/dev/stdout", "/dev/fd/1", "/proc/self/fd/1", "link"])
@pytest.mark.parametrize("to", ["pipe", "log"])
def test_what_is_open_already_goes_on(tmp_path: Path, name: str, to: str) -> None:
    """As in `advisor week SITE --out /dev/stdout >> log`."""
    (tmp_path / "link").symlink_to("/dev/stdout")
    words = (
        "import sys; from pathlib import Path; from advisor.base.files import write_whole; "
        "write_whole(Path(sys.argv[1]), 'new\\n')"
    )
    log = tmp_path / "log"
    log.write_text("old\n")
    command = [sys.executable, "-c", words, name]
    if to == "pipe":
        done = subprocess.run(command, cwd=tmp_path, capture_output=True, check=True)
        assert done.stdout == b"new\n"
    else:
        with log.open("a") as out:
            subprocess.run(command, cwd=tmp_path, stdout=out, check=True)
        assert log.read_text() == "old\nnew\n"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["link", "log"]


@pytest.mark.parametrize("given", [0o600, 0o640, 0o644, 0o755, 0o666])
def test_a_replaced_file_keeps_its_permissions(tmp_path: Path, given: int) -> None:
    path = tmp_path / "page.html"
    path.write_text("old")
    path.chmod(given)
    write_whole(path, "new")
    assert (mode(path), path.read_text()) == (given, "new")


def test_a_new_file_has_the_usual_permissions(tmp_path: Path) -> None:
    (tmp_path / "usual").touch()
    write_whole(tmp_path / "page.html", "new")
    assert mode(tmp_path / "page.html") == mode(tmp_path / "usual")


def test_a_private_file_is_its_owners_alone_from_the_start(tmp_path: Path) -> None:
    path = tmp_path / "export.json"
    with whole_file(path, private=True) as file:
        assert mode(Path(file.name)) == 0o600
        file.write(b"new")
    assert mode(path) == 0o600
    path.chmod(0o644)
    with whole_file(path, private=True) as file:
        assert mode(Path(file.name)) == 0o600
    assert mode(path) == 0o600


def test_a_file_that_may_not_be_written_to_is_not_replaced(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "page.html"
    path.write_text("old")
    path.chmod(0o444)
    if os.access(path, os.W_OK):  # nothing is refused to the superuser
        monkeypatch.setattr(os, "access", lambda file, how: False)
    with pytest.raises(BadInput, match="cannot be written: Permission denied"):
        write_whole(path, "new")
    assert path.read_text() == "old"


@pytest.mark.parametrize("links", [True, False])
def test_a_new_file_never_replaces_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, links: bool
) -> None:
    def fail(*given: object) -> None:
        raise OSError(1, "Operation not permitted")

    if not links:
        monkeypatch.setattr(os, "link", fail)
    path = tmp_path / "site.yaml"
    write_whole(path, "first", own=True, new=True)
    with pytest.raises(BadInput, match="cannot be written: File exists"):
        write_whole(path, "second", own=True, new=True)
    assert path.read_text() == "first"
    assert [file.name for file in tmp_path.iterdir()] == ["site.yaml"]


def test_a_folder_appears_whole(tmp_path: Path) -> None:
    goal = tmp_path / "sites" / "home"
    with whole_folder(goal) as filled:
        assert filled.name == "home"
        (filled / "a").write_text("new")
        assert not goal.exists()
    assert (goal / "a").read_text() == "new"
    assert [path.name for path in goal.parent.iterdir()] == ["home"]


def test_a_folder_that_fails_is_not_there(tmp_path: Path) -> None:
    with suppress(ZeroDivisionError), whole_folder(tmp_path / "home") as filled:
        (filled / "a").write_text("new")
        raise ZeroDivisionError
    assert list(tmp_path.iterdir()) == []


def test_what_fails_in_a_new_folder_is_told_under_its_name(tmp_path: Path) -> None:
    goal = tmp_path / "home"

    def fill() -> None:
        with whole_folder(goal) as filled:
            write_whole(filled / "no" / "a", "new")

    with pytest.raises(BadInput) as caught:
        fill()
    assert str(caught.value) == (
        f"{goal}/no/a: cannot be written: there is no folder {goal}/no; make it first"
    )
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_came_meanwhile_is_left_alone(tmp_path: Path) -> None:
    goal = tmp_path / "home"

    def fill() -> None:
        with whole_folder(goal) as filled:
            (filled / "a").write_text("new")
            goal.mkdir()
            (goal / "a").write_text("theirs")

    with pytest.raises(BadInput, match="home: cannot be written: "):
        fill()
    assert (goal / "a").read_text() == "theirs"
    assert list(tmp_path.iterdir()) == [goal]


def test_a_folder_that_is_there_keeps_what_it_holds(tmp_path: Path) -> None:
    (tmp_path / "b").write_text("mine")
    with whole_folder(tmp_path) as filled:
        assert filled == tmp_path
        (filled / "a").write_text("new")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["a", "b"]
