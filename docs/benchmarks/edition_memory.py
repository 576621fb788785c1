"""How much memory a list needs at each step, at two lengths of it, in one run.

Invented readers with a fixed seed at 500 places; one in twenty gives a size and one in twenty a
depth, both continuous, so that about a tenth have a letter of their own. Each step runs in a
process of its own, whose peak of resident memory is taken (and that of its largest worker).

The rules are NOT run here: a letter of 20,000 characters is made up, since composing a hundred
thousand real ones takes a day. What the rules need is in each worker the same for any length of
list: the weather of one place, and the letters of one share.

    python docs/benchmarks/edition_memory.py [readers ...; default 10000 1000000]
"""

from __future__ import annotations

import csv
import datetime as dt
import random
import resource
import subprocess
import sys
import tempfile
import time
from dataclasses import fields
from pathlib import Path

from advisor.base.dates import today
from advisor.delivery.letter import Letter
from advisor.delivery.share import Done, Share

SEED = 20_261_125
PLACES = 500
KEY = b"an invented key, for measuring only: 0123456789"
STEPS = ("import", "build", "build again", "approve", "put on its way", "send 2000",
         "status")  # fmt: skip
MOST = 1.3


def light(share: Share) -> Done:
    """Letters of the usual length that name their cases, without any rules."""
    letters = tuple(
        Letter(f"{case.grass} {case.area_m2}", f"{case!r}\n".ljust(3_000, "x"),
               f"<main>{'y' * 17_000}</main>")
        for case in share.cases
    )  # fmt: skip
    return Done(letters, len(letters), 0.0)


def write_list(folder: Path, number: int) -> None:
    """The list's folder: places with a row of weather each, and a CSV file of readers."""
    chance = random.Random(SEED)
    (folder / "weather").mkdir()
    spots = [(chance.uniform(26, 48), chance.uniform(-122, -70)) for _ in range(PLACES)]
    with (folder / "weather" / "places.csv").open("w", newline="") as file:
        rows = csv.writer(file)
        rows.writerow(("file", "name", "latitude", "longitude", "kind"))
        for n, (north, east) in enumerate(spots):
            (folder / "weather" / f"{n}.csv").write_text(f"place {n}\n")
            rows.writerow((f"{n}.csv", f"place {n}", north, east, "record"))
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
                           "2026-01-01", "form", depth, "2026-08-20" if depth else ""))  # fmt: skip


def do(step: str, folder: Path) -> str:
    """One step; what it came to."""
    from advisor.delivery import outbox, run, sending
    from advisor.delivery.build import build_edition
    from advisor.delivery.editing import approve_edition
    from advisor.delivery.edition_tables import open_edition
    from advisor.delivery.identity import ListIdentity
    from advisor.delivery.import_readers import import_readers
    from advisor.delivery.store import open_store
    from advisor.rulebook.read_rulebook import read_rulebook

    store, book, day = open_store(folder / "mail.db"), read_rulebook(), today()
    day -= dt.timedelta(days=day.weekday())
    if step.startswith("import"):
        done = import_readers(folder / "readers.csv", store, book, day, tell=print)
        return f"{done.added:,} added, {done.unchanged:,} as before, {done.refused_rows:,} refused"
    if step.startswith("build"):
        built = build_edition(folder, store, book, day, day, workers=2, work=light)
        return f"{built.cases:,} different letters, {built.written:,} copies written"
    edition = open_edition(store, folder.name, day, book.hash)
    if step == "approve":
        return f"{approve_edition(store, edition):,} copies"
    if step == "status":
        status = run.status_of(store, edition.id)
        assert status is not None
        return sending.status_text(status, outbox.now()).splitlines()[0]
    words = dict.fromkeys((field.name for field in fields(ListIdentity)), "week@example.org")
    words |= {"list_id": "lawn.example.org", "leave_url": "https://lawn.example.org/leave"}
    if step == "put on its way":
        return f"{run.put_on_its_way(store, edition.id, ListIdentity(**words), KEY):,} mails"
    box = outbox.Outbox(outbox.durable(store), edition.id, outbox.new_owner(), 600.0)
    began = time.perf_counter()
    for _ in range(100):
        for claim in box.claim(20):
            text = run.letter_of(store, claim.copy_id).text.encode()
            assert box.begin(claim, text)
            assert box.settle(claim, "sent", 250, "")
    return (
        f"{2000 / (time.perf_counter() - began):,.0f} mails/s through the outbox, without a server"
    )


def peak(who: int) -> float:
    """MB (10^6 bytes). Linux counts in KiB, macOS in bytes."""
    unit = 1 if sys.platform == "darwin" else 1024
    return resource.getrusage(who).ru_maxrss * unit / 1e6


def main() -> None:
    """Run all steps at each length and print a table."""
    if sys.argv[1:2] == ["--step"]:
        began = time.perf_counter()
        said = do(sys.argv[2], Path(sys.argv[3]))
        seconds = time.perf_counter() - began
        mine, worker = peak(resource.RUSAGE_SELF), peak(resource.RUSAGE_CHILDREN)
        print(f"{mine:.1f}|{worker:.1f}|{seconds:.1f}|{said}")
        return
    lengths = [int(word) for word in sys.argv[1:]] or [10_000, 1_000_000]
    found: dict[str, list[tuple[float, float]]] = {step: [] for step in STEPS}
    for number in lengths:
        with tempfile.TemporaryDirectory(dir=".") as name:
            folder = Path(name).resolve()
            write_list(folder, number)
            for step in STEPS:
                command = [sys.executable, __file__, "--step", step, str(folder)]
                out = subprocess.run(command, check=True, stdout=subprocess.PIPE, text=True).stdout
                mine, worker, seconds, said = out.splitlines()[-1].split("|")
                found[step].append((float(mine), float(worker)))
                print(f"{number:>9,}  {step:<14} {mine:>7} MB, worker {worker:>6} MB, "
                      f"{seconds:>7} s: {said}", flush=True)  # fmt: skip
            size = sum(file.stat().st_size for file in folder.glob("mail.db*"))
            print(f"{number:>9,}  the store is {size / 1e6:,.0f} MB", flush=True)
    print(f"\nMemory at {lengths[-1]:,} against {lengths[0]:,} readers (wanted: at most {MOST}):")
    worst = 0.0
    for step, peaks in found.items():
        ratios = [
            last / first if first else 0.0 for first, last in zip(peaks[0], peaks[-1], strict=True)
        ]
        worst = max(worst, *ratios)
        worker = f", worker {ratios[1]:.2f}" if ratios[1] else ""
        print(f"  {step:<14} {ratios[0]:.2f}{worker}")
    sys.exit(worst > MOST)


if __name__ == "__main__":
    main()
