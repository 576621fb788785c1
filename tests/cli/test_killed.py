"""Commands that are killed while they write: nothing is lost, nothing half written, nothing left.

Each kill is a real one: a process of its own is ended by SIGKILL, at one of its steps that change
the disk or at a random moment. A sample runs always; `pytest -m long` runs all 600.
"""

from __future__ import annotations

import builtins
import io
import os
import random
import signal
import sys
import time
from collections import Counter
from collections.abc import Callable
from pathlib import Path

import pytest
import sampling
import yaml
from typer.testing import CliRunner

from advisor.cli.main import app, main
from advisor.records.entry import HEADER
from advisor.rulebook.read_rulebook import read_rulebook

ALL, SAMPLE, SHARES = 600, 24, 10
WHERE = ("--latitude", "41.2", "--longitude", "-81.9")
NEW = ("--grass", "tall_fescue", "--size", "3000 ft2", *WHERE)
ON = ("--on", "2026-09-05")
WRITES = os.O_WRONLY | os.O_RDWR | os.O_CREAT | os.O_TRUNC | os.O_APPEND
STEPS = {
    "os.rename", "os.link", "os.remove", "os.mkdir", "os.rmdir", "os.chmod", "os.chown",
    "os.truncate", "shutil.rmtree",
}  # fmt: skip


class Striking:
    """Counts the steps of this process that change the disk, and ends it at one of them."""

    def __init__(self, at: int | None, told: int) -> None:
        self.at, self.told, self.count = at, told, 0

    def step(self, name: str, prepare: Callable[[], object] = lambda: None) -> None:
        self.count += 1
        if self.at is None:
            os.write(self.told, f"{name}\n".encode())
        elif self.count == self.at:
            prepare()
            os.kill(os.getpid(), signal.SIGKILL)
            time.sleep(10)

    def install(self) -> None:
        sys.addaudithook(self._audit)
        real_open, real_sync = io.open, os.fsync

        def opened(file: object, mode: str = "r", *given: object, **named: object) -> object:
            found = real_open(file, mode, *given, **named)  # type: ignore[call-overload]
            if set(mode) & set("wax+"):
                self.step("opened")
            return found

        def synced(file: int) -> None:
            size = os.fstat(file).st_size
            if os.fstat(file).st_mode & 0o100000 and not _appends(file):
                # As if the kill had come in the middle of writing.
                self.step("half written", lambda: os.ftruncate(file, size // 2))
            self.step("written")
            real_sync(file)
            self.step("synced")

        io.open = builtins.open = opened
        os.fsync = synced

    def _audit(self, event: str, given: tuple[object, ...]) -> None:
        if event == "open" and isinstance(given[2], int) and given[2] & WRITES:
            self.step("open")
        elif event in STEPS:
            self.step(event)


def _appends(file: int) -> bool:
    import fcntl

    return bool(fcntl.fcntl(file, fcntl.F_GETFL) & os.O_APPEND)


def run(words: tuple[object, ...], at: int | None = None, after: float | None = None):
    """A command in a process of its own, ended at a step or after so many seconds.

    The exit status (-9 if it was ended), what it told on standard error, and its steps.
    """
    told, telling = os.pipe()
    said = Path(os.environ["KILLED_SAYS"])
    pid = os.fork()
    if not pid:
        code = 1
        try:
            sys.stdout = Path(os.devnull).open("w")  # noqa: SIM115
            sys.stderr = said.open("w", encoding="utf-8")
            sys.argv = ["advisor", *map(str, words)]
            Striking(at, telling).install()
            main()
            code = 0
        except SystemExit as ended:
            code = ended.code if isinstance(ended.code, int) else 0
        finally:
            sys.stderr.flush()
            os._exit(code)
    os.close(telling)
    if after is not None:
        time.sleep(after)
        os.kill(pid, signal.SIGKILL)
    status = os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1])
    with os.fdopen(told, "rb") as steps:
        return status, said.read_text(encoding="utf-8"), steps.read().decode().split("\n")[:-1]


def parts(folder: Path) -> list[Path]:
    return list(folder.rglob("*.part"))


class New:
    """`new` for a folder that is not there."""

    def __init__(self, folder: Path) -> None:
        self.site = folder / "sites" / "home"
        self.site.parent.mkdir()
        self.words = ("new", self.site, *NEW)

    def whole(self) -> bool:
        if not self.site.exists():
            return False
        self.check_files()
        return True

    def check_files(self) -> None:
        text = (self.site / "site.yaml").read_text(encoding="utf-8")
        assert yaml.safe_load(text)["people"] is None  # the last of its keys
        assert (self.site / "journal.csv").read_text() == f"{HEADER}\n"

    def again(self, before: bool) -> None:
        status, said, _ = run(self.words)
        # A site that is whole is never overwritten.
        assert status == (2 if before else 0), said
        assert not before or "site.yaml: is there already" in said
        self.check_files()


class NewInFolder(New):
    """`new` for a folder that holds another file already."""

    def __init__(self, folder: Path) -> None:
        super().__init__(folder)
        self.site.mkdir()
        (self.site / "photo.txt").write_text("mine")

    def whole(self) -> bool:
        assert (self.site / "photo.txt").read_text() == "mine"
        if not (self.site / "site.yaml").exists():
            return False
        self.check_files()
        return True


class Site:
    """A site that is there, with a record and a page made before."""

    def __init__(self, folder: Path) -> None:
        self.site, self.page = folder / "home", folder / "page.html"
        assert run(("new", self.site, *NEW))[0] == 0
        self.journal = self.site / "journal.csv"
        self.old = f"{HEADER}\nr1,2026-08-16,observation,soil_ph,6.4,,\n"
        self.journal.write_text(self.old)


class WeekOut(Site):
    """`week --out` in the place of an older page."""

    fresh: str | None = None

    def __init__(self, folder: Path) -> None:
        super().__init__(folder)
        self.words = ("week", self.site, *ON, "--format", "html", "--out", self.page)
        if WeekOut.fresh is None:
            assert run(self.words)[0] == 0
            WeekOut.fresh = self.page.read_text(encoding="utf-8")
        self.page.write_text("the old page\n")
        self.page.chmod(0o640)

    def whole(self) -> bool:
        found = self.page.read_text(encoding="utf-8")
        assert found in ("the old page\n", self.fresh)
        return found == self.fresh

    def again(self, before: bool) -> None:
        assert run(self.words)[0] == 0
        assert self.page.read_text(encoding="utf-8") == self.fresh
        assert self.page.stat().st_mode & 0o777 == 0o640
        assert self.journal.read_text() == self.old


class Note(Site):
    """`note` at the end of a journal."""

    fresh: list[str] | None = None

    def __init__(self, folder: Path) -> None:
        super().__init__(folder)
        self.words = ("note", self.site, "thatch 0.8 inch", *ON)
        if Note.fresh is None:
            assert run(self.words)[0] == 0
            Note.fresh = self.added()
            assert len(Note.fresh) == 1
            assert Note.fresh[0].startswith("r2,2026-09-05,observation,thatch_depth,0.8 in")
            self.journal.write_text(self.old)

    def added(self) -> list[str]:
        text = self.journal.read_text(encoding="utf-8")
        assert text.startswith(self.old)
        assert text.endswith("\n")
        return text.removeprefix(self.old).splitlines()

    def whole(self) -> bool:
        found = self.added()
        assert found in ([], self.fresh)
        return bool(found)

    def again(self, before: bool) -> None:
        # The same words again would be the same record twice.
        status, said, _ = run(("note", self.site, "thatch 0.9 inch", *ON) if before else self.words)
        assert status == 0, said
        assert len(self.added()) == 1 + before


class Calendar(Site):
    """`year --ics`, which writes a file and what the site remembers of it."""

    def __init__(self, folder: Path) -> None:
        super().__init__(folder)
        self.words = ("year", self.site, *ON, "--ics", self.page.with_suffix(".ics"))

    def whole(self) -> bool:
        ics = self.page.with_suffix(".ics")
        if not ics.exists():
            return False
        assert ics.read_bytes().endswith(b"END:VCALENDAR\r\n")
        return True

    def again(self, before: bool) -> None:
        assert run(self.words)[0] == 0
        assert self.whole()
        assert (self.site / "calendar.json").read_text(encoding="utf-8").endswith("}\n")


SCENES = (New, NewInFolder, WeekOut, Note, Calendar)
WEIGHTS = (4, 2, 4, 4, 1)
"""Of the kills at random moments."""


@pytest.fixture(scope="module")
def plan(tmp_path_factory):
    """The 600 kills: each step of each command, several times, and random moments."""
    folder = tmp_path_factory.mktemp("counted")
    os.environ["KILLED_SAYS"] = str(folder / "said")
    # Read once, with all modules, for all the processes that are forked from this one.
    book = read_rulebook()
    monkeypatch = pytest.MonkeyPatch()
    monkeypatch.setattr("advisor.rulebook.read_rulebook.read_rulebook", lambda: book)
    for words in (
        ("new", "a", *NEW), ("note", "a", "thatch 0.8 inch", *ON),
        ("week", "a", *ON, "--format", "html"), ("year", "a", *ON, "--ics", "a/year.ics"),
    ):  # fmt: skip
        monkeypatch.chdir(folder)
        done = CliRunner().invoke(app, words)
        assert done.exit_code == 0, done.output
    monkeypatch.chdir(Path(__file__).parent)
    dice = random.Random(600)
    kills, took = [], {}
    for scene in SCENES:
        (folder / scene.__name__).mkdir()
        made = scene(folder / scene.__name__)
        began = time.perf_counter()
        _, _, steps = run(made.words)
        took[scene] = time.perf_counter() - began
        assert len(steps) >= 2, steps
        kills += [(scene, f"{name} ({n})", n, None) for n, name in enumerate(steps, 1)]
    print(f"{len(kills)} steps")
    # With nothing kept from an earlier run there are more steps than places for them.
    kills = dice.sample(kills, min(len(kills), ALL // 2)) * (ALL // 2 // len(kills) + 1)
    for scene in dice.choices(SCENES, WEIGHTS, k=ALL - len(kills)):
        kills.append((scene, "a random moment", None, dice.uniform(0, took[scene] * 1.1)))
    dice.shuffle(kills)
    yield kills[:ALL]
    monkeypatch.undo()
    del os.environ["KILLED_SAYS"]


def kill_all(kills, folder: Path) -> Counter[str]:
    counts: Counter[str] = Counter()
    for number, (scene, name, at, after) in enumerate(kills):
        for attempt in range(20):
            here = folder / f"{number}.{attempt}"
            here.mkdir()
            made = scene(here)
            # A random moment may come too late; then an earlier one is taken.
            status, said, _ = run(made.words, at, after and after / 2**attempt)
            if status == -signal.SIGKILL:
                break
        where = f"{scene.__name__}, killed at {name}: {said}"
        assert status == -signal.SIGKILL, where
        counts[scene.__name__] += 1
        counts["killed"] += 1
        counts["left a part"] += bool(parts(here))
        try:
            done = made.whole()
            counts["had done its work"] += done
            made.again(done)
            assert not parts(here)
        except Exception as error:
            raise AssertionError(f"{where}{error}") from error
    return counts


@pytest.mark.slow
def test_a_sample_of_the_kills(plan, tmp_path: Path) -> None:
    steps = [kill for kill in plan if kill[2] is not None]
    moments = [kill for kill in plan if kill[2] is None]
    dice = sampling.dice("kills")
    counts = kill_all(dice.sample(steps, SAMPLE - 5) + dice.sample(moments, 5), tmp_path)
    assert counts["killed"] == SAMPLE
    assert counts["left a part"] > 0


@pytest.mark.long
@pytest.mark.parametrize("share", range(SHARES))
def test_all_kills(share: int, plan, tmp_path: Path) -> None:
    counts = kill_all(plan[share::SHARES], tmp_path)
    print(dict(counts))
    assert counts["killed"] == ALL // SHARES
