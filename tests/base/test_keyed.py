"""What is kept by its key comes back under that key alone, and whole or not at all."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.base.cache import code_of, keep_json, keep_keyed, key_of, read_json, read_keyed


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch) -> Path:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    return tmp_path / "turf-windows"


def test_what_was_kept_comes_back():
    keep_keyed("thing", "key", b"a\nb\x00")
    assert bytes(read_keyed("thing", "key")) == b"a\nb\x00"
    keep_json("thing", "key", {"ü": [1, 2.5, None]})
    assert read_json("thing", "key") == {"ü": [1, 2.5, None]}


@pytest.mark.parametrize("other", ["ke", "key2", "", "KEY"])
def test_another_key_finds_nothing(other):
    keep_keyed("thing", "key", b"content")
    assert read_keyed("thing", other) is None


def test_the_newest_takes_the_place_of_the_one_before(folder):
    keep_keyed("thing", "old", b"1")
    keep_keyed("thing", "new", b"2")
    assert read_keyed("thing", "old") is None
    assert bytes(read_keyed("thing", "new")) == b"2"
    assert len(list(folder.iterdir())) == 1


def test_every_cut_and_every_changed_byte_is_noticed(folder):
    keep_keyed("thing", "key", b"content")
    whole = (folder / "thing").read_bytes()
    for at in range(len(whole)):
        (folder / "thing").write_bytes(whole[:at])
        assert read_keyed("thing", "key") is None
        (folder / "thing").write_bytes(whole[:at] + bytes([whole[at] ^ 1]) + whole[at + 1 :])
        assert read_keyed("thing", "key") is None
    (folder / "thing").write_bytes(whole + b"x")
    assert read_keyed("thing", "key") is None


def test_what_is_no_json_is_nothing():
    keep_keyed("thing", "key", b"{")
    assert read_json("thing", "key") is None


def test_a_key_tells_where_its_parts_end():
    assert key_of("ab", "c") != key_of("a", "bc")
    assert key_of("1:a") != key_of("", "a")


def test_a_changed_module_changes_the_key_of_its_room(tmp_path, monkeypatch):
    room = tmp_path / "room"
    room.mkdir()
    monkeypatch.setattr("advisor.base.cache._PACKAGE", tmp_path)
    rooms, files = [], []
    for name, text in (("a.py", "1"), ("a.py", "2"), ("b.py", "")):
        (room / name).write_text(text)
        code_of.cache_clear()
        rooms.append(code_of("room"))
        files.append(code_of("room/a.py"))
    code_of.cache_clear()
    assert len(set(rooms)) == 3
    assert files[0] != files[1] == files[2]
