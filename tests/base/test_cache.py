"""Nothing is read from a folder or a file that somebody else could have written."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from advisor.base import cache
from advisor.base.cache import keep, read_kept


@pytest.fixture
def folder(tmp_path, monkeypatch) -> Path:
    """The cache folder, with one thing kept in it."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "caches"))
    keep("thing", b"ours")
    assert read_kept("thing") == b"ours"
    return tmp_path / "caches" / "turf-windows"


def test_the_folder_is_made_closed(folder):
    assert folder.stat().st_mode & 0o777 == 0o700


@pytest.mark.parametrize("mode", [0o777, 0o720, 0o702, 0o1777])
def test_a_folder_that_others_can_write_is_left_alone(folder, mode):
    folder.chmod(mode)
    keep("other", b"x")
    assert read_kept("thing") is None
    assert not (folder / "other").exists()


def test_a_file_that_others_can_write_is_not_read(folder):
    (folder / "thing").chmod(0o620)
    assert read_kept("thing") is None


def test_what_belongs_to_another_is_not_read(folder, monkeypatch):
    monkeypatch.setattr(cache.os, "geteuid", lambda: os.getuid() + 1)
    assert read_kept("thing") is None
    keep("other", b"x")
    assert not (folder / "other").exists()


@pytest.mark.skipif(os.geteuid() != 0, reason="only root can give files away")
@pytest.mark.parametrize("given", ["thing", "."])
def test_what_was_given_to_another_is_not_read(folder, given):
    os.chown(folder / given, 65534, 65534)
    assert read_kept("thing") is None


def test_links_and_pipes_are_not_followed(folder, tmp_path):
    (tmp_path / "theirs").write_bytes(b"theirs")
    (folder / "link").symlink_to(tmp_path / "theirs")
    os.link(tmp_path / "theirs", folder / "name")
    os.mkfifo(folder / "pipe")
    assert [read_kept(name) for name in ("link", "name", "pipe", "none")] == [None] * 4


def test_a_folder_that_is_a_link_is_not_used(folder, tmp_path):
    folder.rename(tmp_path / "moved")
    folder.symlink_to(tmp_path / "moved")
    assert read_kept("thing") is None


@pytest.mark.parametrize("given", ["caches", "./caches", "../caches", ""])
def test_a_relative_path_makes_no_folders(tmp_path, monkeypatch, given):
    """XDG Base Directory Specification 0.8: it is invalid and is to be ignored."""
    work = tmp_path / "work"
    work.mkdir()
    monkeypatch.chdir(work)
    monkeypatch.setenv("XDG_CACHE_HOME", given)
    monkeypatch.setenv("HOME", str(tmp_path / "home"))
    keep("thing", b"x")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["home", "work"]
    assert list(work.iterdir()) == []
    assert (tmp_path / "home" / ".cache" / "turf-windows" / "thing").read_bytes() == b"x"
    monkeypatch.setenv("HOME", "home")
    keep("thing", b"x")
    assert list(work.iterdir()) == []


PLANT = """
import sys
from pathlib import Path
from advisor.base.paths import data_folder
from advisor.render.digest.render import _environment
made = _environment()
name = "answer.txt"
file = data_folder("templates") / name
kept = made.bytecode_cache
bucket = kept.get_bucket(made, name, str(file), file.read_text(encoding="utf-8"))
bucket.code = compile(f"open({sys.argv[2]!r}, 'w').close()", name, "exec")
Path(sys.argv[1], f"{bucket.key}.template").write_bytes(bucket.bytecode_to_string())
"""
USE = (
    "from advisor.render.digest.render import _environment; "
    "_environment().get_template('answer.txt')"
)


@pytest.mark.parametrize(("mode", "runs"), [(0o777, False), (0o700, True)])
def test_a_planted_template_does_not_run(tmp_path, mode, runs):
    """In a folder that all can write; in one's own it would, which shows that the trap works."""
    folder, mark = tmp_path / "turf-windows", tmp_path / "ran"
    folder.mkdir()
    environment = os.environ | {"XDG_CACHE_HOME": str(tmp_path)}
    for program in (PLANT, USE):
        folder.chmod(mode if program == USE else 0o700)
        subprocess.run(
            [sys.executable, "-c", program, str(folder), str(mark)],
            env=environment, check=False, capture_output=True,
        )  # fmt: skip
    assert mark.exists() is runs
