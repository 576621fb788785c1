"""Unfinished files of killed writers are removed; those of living ones, and of others, stay."""

from __future__ import annotations

import multiprocessing
import os
import subprocess
import sys
from pathlib import Path

import pytest

from advisor.base import files
from advisor.base.files import (
    LONGEST_WRITE_SECONDS,
    clear_leftovers,
    part_beside,
    whole_file,
    whole_folder,
    write_whole,
)

KILLED = """
import os, signal, sys
from pathlib import Path
from advisor.base.files import whole_file, whole_folder
place, kind = Path(sys.argv[1]), sys.argv[2]
with (whole_file if kind == "file" else whole_folder)(place) as made:
    if kind == "file":
        made.write(b"half")
        made.flush()
    else:
        (made / "inside").write_text("half")
    os.kill(os.getpid(), signal.SIGKILL)
"""


def a_dead_pid() -> int:
    gone = subprocess.Popen([sys.executable, "-c", ""])
    gone.wait()
    return gone.pid


def aged(path: Path, seconds: float) -> Path:
    path.write_text("half")
    os.utime(path, (path.stat().st_mtime - seconds,) * 2)
    return path


@pytest.mark.parametrize("kind", ["file", "folder"])
def test_the_next_writer_clears_what_a_killed_one_left(tmp_path: Path, kind: str) -> None:
    place = tmp_path / "made"
    done = subprocess.run([sys.executable, "-c", KILLED, place, kind], check=False)
    assert done.returncode == -9
    assert [path.suffix for path in tmp_path.iterdir()] == [".part"]
    write_whole(tmp_path / "another.txt", "new")
    assert [path.name for path in tmp_path.iterdir()] == ["another.txt"]


def test_what_an_earlier_version_left_is_cleared(tmp_path: Path) -> None:
    (tmp_path / f".year.ics.{a_dead_pid()}.part").write_text("half")
    # This may be another program's.
    other = aged(tmp_path / f".film.{a_dead_pid()}.part", 10 * LONGEST_WRITE_SECONDS)
    write_whole(tmp_path / "year.ics", "new")
    assert sorted(path.name for path in tmp_path.iterdir()) == [other.name, "year.ics"]


def test_what_is_being_written_stays(tmp_path: Path) -> None:
    with whole_file(tmp_path / "a") as one, whole_folder(tmp_path / "d") as folder:
        one.write(b"one")
        write_whole(tmp_path / "a", "two")
        write_whole(tmp_path / "b", "two")
        (folder / "inside").write_text("three")
    assert (tmp_path / "a").read_text() == "one"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["a", "b", "d"]
    assert (tmp_path / "d" / "inside").read_text() == "three"


def test_a_number_that_runs_again_goes_by_age(tmp_path: Path) -> None:
    """Process 1 always runs; what it is said to have begun a day ago, another did."""
    name = part_beside(tmp_path / "a").name.replace(f"-{os.getpid()}-", "-1-")
    young = aged(tmp_path / name, LONGEST_WRITE_SECONDS - 60)
    clear_leftovers(tmp_path / "a")
    assert young.exists()
    aged(young, LONGEST_WRITE_SECONDS + 60)
    clear_leftovers(tmp_path / "a")
    assert not young.exists()


def test_another_machine_has_its_own_numbers(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    here = part_beside(tmp_path / "a").name
    dead = here.replace(f"-{os.getpid()}-", f"-{a_dead_pid()}-")
    monkeypatch.setattr("platform.node", lambda: "elsewhere")
    assert part_beside(tmp_path / "a").name.split("turf-")[1][:8] != here.split("turf-")[1][:8]
    theirs = aged(tmp_path / dead, 60)
    clear_leftovers(tmp_path / "a")
    assert theirs.exists()
    aged(theirs, LONGEST_WRITE_SECONDS + 60)
    clear_leftovers(tmp_path / "a")
    assert not theirs.exists()


@pytest.mark.parametrize("name", ["a.part", ".a.part", ".a.turf-1.part", ".a.77.part.txt", "part"])
def test_only_our_own_names_are_touched(tmp_path: Path, name: str) -> None:
    aged(tmp_path / name, 100 * LONGEST_WRITE_SECONDS)
    write_whole(tmp_path / "b", "new")
    assert (tmp_path / name).exists()


def test_what_cannot_be_removed_stops_nobody(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    name = part_beside(tmp_path / "a").name.replace(f"-{os.getpid()}-", f"-{a_dead_pid()}-")
    aged(tmp_path / name, 0)

    def refuse(entry: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(files, "_remove", refuse)
    write_whole(tmp_path / "a", "new")
    assert (tmp_path / "a").read_text() == "new"


def test_the_longest_names_have_room(tmp_path: Path) -> None:
    for name in ("é" * 127, "x" * 255):
        write_whole(tmp_path / name, "new")
        assert (tmp_path / name).read_text() == "new"


def _write_often(folder: Path, name: str) -> None:
    for number in range(60):
        write_whole(folder / f"{name}-{number % 3}", f"{name} " * 2000)


def test_writers_at_the_same_time_do_not_clear_each_others(tmp_path: Path) -> None:
    context = multiprocessing.get_context("fork")
    writers = [context.Process(target=_write_often, args=(tmp_path, n)) for n in "abcd"]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join()
    assert [writer.exitcode for writer in writers] == [0] * 4
    assert len(list(tmp_path.iterdir())) == 12
    assert all(f.read_text() == f"{f.name[0]} " * 2000 for f in tmp_path.iterdir())
