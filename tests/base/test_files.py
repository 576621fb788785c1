"""A file is replaced whole or left as it was."""

import os
from pathlib import Path

import pytest

from advisor.base.files import write_whole
from advisor.base.problems import BadInput


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


def test_a_folder_is_not_replaced(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="cannot be written: Is a directory"):
        write_whole(tmp_path, b"new")


def test_a_device_is_written_to() -> None:
    write_whole(Path(os.devnull), b"new")
    assert not Path(os.devnull).is_file()
