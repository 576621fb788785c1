"""The wheel and the sdist, built as a release builds them, hold what they must and nothing else.

Outside reference: the wheel's layout and metadata as the Python Packaging User Guide specifies them
(binary distribution format; core metadata 2.x).
"""

from __future__ import annotations

import os
import subprocess
import sys
import tarfile
import zipfile
from email.message import Message
from email.parser import BytesParser
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
DATA = ("rules", "templates")
AT_LEAST = {"rules": "sources.yaml", "templates": "answer.txt"}


def _files(folder: str) -> dict[str, bytes]:
    """Every file below a folder of the checkout that belongs to the project."""
    return {
        path.relative_to(ROOT).as_posix(): path.read_bytes()
        for path in sorted((ROOT / folder).rglob("*"))
        if path.is_file() and "__pycache__" not in path.parts
    }


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the sdist, and the wheel that was built from the sdist."""
    out = tmp_path_factory.mktemp("dist")
    command = [sys.executable, "-m", "build", "--no-isolation", "--outdir", str(out), str(ROOT)]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    return out


@pytest.fixture(scope="module")
def wheel(built: Path) -> dict[str, bytes]:
    """The wheel's files."""
    (path,) = built.glob("*.whl")
    assert path.name.endswith("-py3-none-any.whl")
    with zipfile.ZipFile(path) as archive:
        return {name: archive.read(name) for name in archive.namelist() if name[-1] != "/"}


@pytest.fixture(scope="module")
def sdist(built: Path) -> dict[str, bytes]:
    """The sdist's files, without the folder that holds them all."""
    (path,) = built.glob("*.tar.gz")
    with tarfile.open(path) as archive:
        found = {}
        for member in archive.getmembers():
            if member.isfile():
                content = archive.extractfile(member)
                assert content is not None
                found[member.name.partition("/")[2]] = content.read()
        return found


def _metadata(wheel: dict[str, bytes]) -> Message:
    (name,) = [name for name in wheel if name.endswith(".dist-info/METADATA")]
    return BytesParser().parsebytes(wheel[name])


@pytest.mark.parametrize("folder", DATA)
def test_wheel_carries_the_data_inside_the_package(wheel: dict[str, bytes], folder: str) -> None:
    ours = {f"advisor/{name}": content for name, content in _files(folder).items()}
    assert f"advisor/{folder}/{AT_LEAST[folder]}" in ours
    packed = {k: v for k, v in wheel.items() if k.startswith(f"advisor/{folder}/")}
    assert packed == ours


def test_wheel_carries_the_program_and_nothing_else(wheel: dict[str, bytes]) -> None:
    data = tuple(f"advisor/{folder}/" for folder in DATA)
    code = {
        name: content
        for name, content in wheel.items()
        if ".dist-info/" not in name and not name.startswith(data)
    }
    assert code == _files("advisor")


def test_wheel_says_what_it_needs(wheel: dict[str, bytes]) -> None:
    metadata = _metadata(wheel)
    assert metadata["Name"] == "turf-windows"
    assert metadata["Requires-Python"] == ">=3.11"
    assert metadata["License-Expression"] == "MIT AND CC-BY-4.0 AND ODbL-1.0"
    (points,) = [v for k, v in wheel.items() if k.endswith(".dist-info/entry_points.txt")]
    assert b"advisor = advisor.cli.main:main" in points
    assert any(k.endswith(".dist-info/licenses/LICENSE") for k in wheel)


def test_sdist_can_be_worked_from(sdist: dict[str, bytes]) -> None:
    for folder in ("advisor", "tests", "docs", *DATA):
        packed = {k: v for k, v in sdist.items() if k.startswith(f"{folder}/")}
        assert packed == _files(folder)
    beside = {name for name in sdist if "/" not in name}
    wanted = {"README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml", "PKG-INFO"}
    assert beside - {".gitignore"} == wanted


def test_unpacked_wheel_reads_its_own_data_from_any_folder(
    wheel: dict[str, bytes], tmp_path: Path
) -> None:
    """Run from a folder that is no checkout, with the wheel before any installed copy."""
    home = tmp_path / "site"
    for name, content in wheel.items():
        (home / name).parent.mkdir(parents=True, exist_ok=True)
        (home / name).write_bytes(content)
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    script = (
        "from advisor.base.paths import data_folder\n"
        "from advisor.rulebook.read_rulebook import read_rulebook\n"
        "print(data_folder('rules'), data_folder('templates'), *read_rulebook().operations)"
    )
    done = subprocess.run(
        [sys.executable, "-c", script],
        cwd=elsewhere,
        env={**os.environ, "PYTHONPATH": str(home)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    rules, templates, *operations = done.stdout.split()
    assert Path(rules) == home / "advisor" / "rules"
    assert Path(templates) == home / "advisor" / "templates"
    stems = {p.stem for p in (ROOT / "rules" / "operations").glob("*.yaml")}
    assert set(operations) == stems
