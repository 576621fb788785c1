"""How much memory a list needs at each step, at two lengths of it, in one run.

Each step runs in a process of its own. Its peak of resident memory is taken (the high-water mark of
the kernel, as the process ends), and so is that of its largest worker. Readers are invented, with a
fixed seed; one in twenty gives a size and one in twenty a depth, both continuous, so that about a
tenth have a letter of their own. One of two ways:

- at 500 places (default). The rules are NOT run: letters of 20,000 characters are made up, since a
  hundred thousand real ones take hours.
- `--rules`: at three places with open weather records, in a week of 2018, by the real rules. A week
  that is over is not sent.

Sending is a share of about 2,000 mails by the real sender, to a server that keeps nothing.

    python docs/benchmarks/edition_memory.py [--rules] [readers ...; default 10000 1000000]
"""

from __future__ import annotations

import csv
import datetime as dt
import gzip
import multiprocessing
import os
import random
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from send_rate import sink

from advisor.base.dates import today
from advisor.mailing.letters.attachments import Beside, Page
from advisor.mailing.letters.batch import Done, Share, compose_share
from advisor.mailing.letters.letter import Letter
from advisor.render.yearly.calendar_events import Event

SEED = 20_261_125
PLACES = 500
KEY = b"an invented key, for measuring only: 0123456789"
BUILT = ("import", "build", "build again", "approve")
SENT = ("put on its way", "send a share", "status")
WEEK = dt.date(2018, 9, 10)
WORKERS, FIRST, MOST = 2, 2_000, 1.3
DATA = Path(__file__).resolve().parents[2] / "tests" / "data" / "weather"
#: Open records and where they were taken, as in DATA's README.
RECORDS = {
    "central_iowa": (42.035, -93.0), "champion_ne": (40.4, -101.7), "norfolk_uk": (52.6, 1.3),
}  # fmt: skip
Work = Callable[[Share], Done]


def light(share: Share) -> Done:
    """Letters and calendars of the usual length that name their cases, without any rules."""
    letters = []
    for key in share.keys:
        events = tuple(
            Event(f"{key.line}-{n}", share.on, share.on + dt.timedelta(30), None, "x", "y" * 400)
            for n in range(6)
        )
        page = None if key.measured or not key.cell else Page(key.cell.name, key.grass, "", "us")
        letters.append(
            Letter(
                f"{key.grass} {key.area_m2}", f"{key!r}\n".ljust(3_000, "x"),
                f"<main>{'y' * 17_000}</main>", Beside(key.line, events, page),
            )
        )  # fmt: skip
    return told(share, Done(tuple(letters), len(letters), 0.0))


def real(share: Share) -> Done:
    """Letters by the rules."""
    return told(share, compose_share(share))


def told(share: Share, done: Done) -> Done:
    """What a worker did, with its peak of memory put down."""
    (share.folder / f"worker.{os.getpid()}").write_text(f"{peak()}")
    return done


def write_list(folder: Path, number: int, rules: bool) -> None:
    """The list's folder: places with their weather, and a CSV file of readers."""
    chance = random.Random(SEED)
    (folder / "weather").mkdir()
    spots = [(chance.uniform(26, 48), chance.uniform(-122, -70)) for _ in range(PLACES)]
    names = [str(n) for n in range(PLACES)]
    if rules:
        spots, names = list(RECORDS.values()), list(RECORDS)
    with (folder / "weather" / "places.csv").open("w", newline="") as file:
        rows = csv.writer(file)
        rows.writerow(("file", "name", "latitude", "longitude", "kind"))
        for name, (north, east) in zip(names, spots, strict=True):
            said = f"place {name}\n".encode()
            if rules:
                said = gzip.decompress((DATA / f"{name}.csv.gz").read_bytes())
            (folder / "weather" / f"{name}.csv").write_bytes(said)
            rows.writerow((f"{name}.csv", f"place {name}", north, east, "record"))
    measured_on = "2018-08-20" if rules else "2026-08-20"
    grasses = ("tall fescue", "Kentucky bluegrass", "bermudagrass", "zoysiagrass", "dont know")
    with (folder / "readers.csv").open("w", newline="") as file:
        rows = csv.writer(file)
        rows.writerow(("address", "place", "country", "grass", "area", "permission_on",
                       "permission_source", "thatch_depth", "measured_on"))  # fmt: skip
        for n in range(number):
            north, east = chance.choice(spots)
            place = (
                f"{north + chance.uniform(-0.3, 0.3):.4f}, {east + chance.uniform(-0.3, 0.3):.4f}"
            )
            size = f"{chance.uniform(50, 1500):.3f} m2" if chance.random() < 0.05 else ""
            depth = f"{chance.uniform(0.1, 1.5):.4f} in" if chance.random() < 0.05 else ""
            rows.writerow((f"r{n}@example.org", place, "", chance.choice(grasses), size,
                           "2026-01-01", "form", depth, measured_on if depth else ""))  # fmt: skip


def do(step: str, folder: Path, work: Work) -> str:
    """One step; what it came to."""
    from advisor.mailing.editions.build import build_edition, week_of
    from advisor.mailing.mails.identity import ListIdentity
    from advisor.mailing.outbox import outbox, run
    from advisor.mailing.outbox.sender import Rules, Sender
    from advisor.mailing.outbox.server_settings import ServerSettings
    from advisor.mailing.store.edition_tables import mark_seen, open_edition
    from advisor.mailing.store.store import open_store
    from advisor.mailing.use_cases import sending
    from advisor.mailing.use_cases.editing import approve_edition
    from advisor.mailing.use_cases.import_readers import import_readers
    from advisor.rulebook.read_rulebook import read_rulebook

    store, book = open_store(folder / "mail.db"), read_rulebook()
    day = WEEK if work is real else today()
    if step == "import":
        done = import_readers(folder / "readers.csv", store, book, today(), tell=print)
        return f"{done.added:,} added, {done.unchanged:,} as before, {done.refused_rows:,} refused"
    if step.startswith("build"):
        built = build_edition(folder, store, book, day, today(), workers=WORKERS, work=work)
        assert not built.lacking, built.failed[:3]
        return f"{built.distinct:,} different letters, {built.written:,} copies written"
    edition = open_edition(store, folder.name, week_of(day), book.hash)
    if step == "approve":
        mark_seen(store, edition)
        edition = open_edition(store, folder.name, week_of(day), book.hash)
        return f"{approve_edition(store, edition):,} copies"
    if step == "put on its way":
        words = dict.fromkeys(ListIdentity.__struct_fields__, "week@example.org")
        words |= {"list_id": "lawn.example.org", "web_url": "https://lawn.example.org",
                  "leave_url": "https://lawn.example.org/leave"}  # fmt: skip
        share = FIRST / int((folder / "number").read_text())
        new = run.put_on_its_way(store, edition.id, ListIdentity(**words), KEY, canary=share)
        return f"{new:,} mails"
    if step == "send a share":
        fork = multiprocessing.get_context("fork")
        port = fork.Queue()
        server = fork.Process(target=sink, args=(port,), daemon=True)
        server.start()
        to = ServerSettings("127.0.0.1", port.get(), "none")
        Sender(store, edition.id, to, KEY, Rules()).run(wait=False)
        server.kill()
    status = run.status_of(store, edition.id)
    assert status is not None
    if step == "send a share":
        return f"{status.counts['sent']:,} sent"
    return sending.status_text(status, outbox.now()).splitlines()[0]


def peak() -> float:
    """This process's, in MB (10^6 bytes)."""
    try:
        # What getrusage tells counts the process by which this one was started, too.
        said = Path("/proc/self/status").read_text().partition("VmHWM:")[2]
        return int(said.split()[0]) * 1024 / 1e6
    except OSError:
        unit = 1 if sys.platform == "darwin" else 1024
        return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * unit / 1e6


def measured(step: str, folder: Path, rules: bool) -> tuple[float, float, float, str]:
    """Peaks of the step's process and of its largest worker in MB, seconds, what it came to."""
    for old in folder.glob("worker.*"):
        old.unlink()
    command = [sys.executable, __file__, *["--rules"] * rules, "--step", step, str(folder)]
    out = subprocess.run(command, check=True, stdout=subprocess.PIPE, text=True).stdout
    mine, seconds, said = out.splitlines()[-1].split("|")
    workers = [float(file.read_text()) for file in folder.glob("worker.*")]
    return float(mine), max(workers, default=0.0), float(seconds), said


def main() -> None:
    """Run all steps at each length and print a table."""
    words = sys.argv[1:]
    rules = words[:1] == ["--rules"]
    words = words[rules:]
    if words[:1] == ["--step"]:
        began = time.perf_counter()
        said = do(words[1], Path(words[2]), real if rules else light)
        print(f"{peak():.1f}|{time.perf_counter() - began:.1f}|{said}")
        return
    lengths = [int(word) for word in words] or [10_000, 1_000_000]
    steps = BUILT if rules else BUILT + SENT
    found: dict[str, list[tuple[float, float]]] = {step: [] for step in steps}
    for number in lengths:
        with tempfile.TemporaryDirectory(dir=".") as name:
            folder = Path(name).resolve()
            write_list(folder, number, rules)
            (folder / "number").write_text(f"{number}")
            for step in steps:
                mine, worker, seconds, said = measured(step, folder, rules)
                found[step].append((mine, worker))
                workers = f" + {WORKERS} workers of at most {worker:.0f}" if worker else ""
                print(f"{number:>9,}  {step:<14} {mine:6.1f} MB{workers}, {seconds:.1f} s: {said}",
                      flush=True)  # fmt: skip
            size = sum(file.stat().st_size for file in folder.glob("mail.db*"))
            print(f"{number:>9,}  the store is {size / 1e6:,.0f} MB", flush=True)
    print(f"\nMemory at {lengths[-1]:,} against {lengths[0]:,} readers (wanted: at most {MOST}):")
    worst = 0.0
    for step, peaks in found.items():
        (first, his), (last, theirs) = peaks[0], peaks[-1]
        ratios = [last / first, *([theirs / his] if his and theirs else [])]
        worst = max(worst, *ratios)
        print(f"  {step:<14} {', worker '.join(f'{ratio:.2f}' for ratio in ratios)}")
    sys.exit(worst > MOST)


if __name__ == "__main__":
    main()
