"""The walk of one thatch reading, from journal.csv to the digest: which modules it passes.

    python docs/walk.py

A reading is noted on the demo's lawn, and the week is composed with everything else kept from
before, as on any other day. A module counts if one of its functions runs (`sys.setprofile`), code
at the head of modules aside. Rooms stand in the order of the flow, modules in the order in which
they are first entered. Written into docs/how_it_works.md.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import textwrap
from pathlib import Path

ROOT = Path(__file__).parents[1]
PAGE = ROOT / "docs" / "how_it_works.md"
ADVISOR = ROOT / "advisor"
READING = "thatch 0.7 inch"
DAY = "2026-09-05"
ROOMS = {
    "base": "dates, units, files",
    "places": "the law's part of the country",
    "signals": "numbers from the weather",
    "weather": "the table of days",
    "records": "the line of the journal becomes an entry, checked against the site file",
    "facts": "the newest reading that still counts becomes `thatch_depth`",
    "rulebook": "the rules that read it, from the cache",
    "decide": "seasons, comparisons, verdicts: thatch removal, and what gives way to it",
    "cases": "the lawn on this day, as plain data",
    "amounts": "minutes and debris of what is to be done",
    "advice": "one item for each job and part, with its date, weight and gates",
    "answers": "verdict, reasons and sources in words",
    "planning": "free days that suit, gates in words",
    "render": "the digest, chosen, counted and filled in",
    "cli": "the command that was typed",
}
START, END = "<!-- walk -->", "<!-- end of the walk -->"


WATCHED = """
import sys

found = {}

def watch(frame, event, _):
    code = frame.f_code
    # The body of a module or of a class is no function: its names are not its own locals.
    if event == "call" and "/advisor/" in code.co_filename and code.co_flags & 1:
        found[code.co_filename] = None

sys.setprofile(watch)
from advisor.cli.main import app

app(standalone_mode=False)
sys.setprofile(None)
print(*found, sep="\\n", file=sys.stderr)
"""


def walked() -> list[str]:
    """Modules (`facts/day`) that run when the week after a reading is composed, in their order."""
    with tempfile.TemporaryDirectory() as folder:
        # Which facts are asked for first hangs on the hashes of their names.
        caches = {
            **os.environ, "XDG_CACHE_HOME": str(Path(folder) / "caches"), "PYTHONHASHSEED": "0",
        }  # fmt: skip

        def run(*words: str) -> list[str]:
            done = subprocess.run(
                [sys.executable, "-c", WATCHED, *words],
                env=caches, cwd=folder, capture_output=True, text=True, check=True,
            )  # fmt: skip
            return done.stderr.splitlines()

        run("demo", "--to", ".")
        for _ in range(2):
            run("week", "site", "--on", DAY)
        run("note", "site", READING, "--on", DAY)
        paths = map(Path, run("week", "site", "--on", DAY))
        return [
            str(path.relative_to(ADVISOR).with_suffix(""))
            for path in paths
            if path.is_relative_to(ADVISOR)
        ]


def section(modules: list[str]) -> str:
    """The walk as the page has it."""
    lines = [
        f"`{READING}` is noted, then `advisor week` is run: {len(modules)} of the "
        f"{len(list(ADVISOR.rglob('*.py')))} modules run a function (`python docs/walk.py`)."
    ]
    text = [textwrap.fill(lines[0], 100, break_on_hyphens=False), ""]
    for room, does in ROOMS.items():
        inside = [name.removeprefix(f"{room}/") for name in modules if name.split("/")[0] == room]
        if inside:
            line = f"- **{room}**, {does}: {', '.join(inside)}"
            text.append(textwrap.fill(line, 100, subsequent_indent="  ", break_on_hyphens=False))
    return "\n".join(text)


def made() -> str:
    """The page with its walk as it is now."""
    page = PAGE.read_text(encoding="utf-8")
    before, _, rest = page.partition(START)
    _, _, after = rest.partition(END)
    return f"{before}{START}\n{section(walked())}\n{END}{after}"


if __name__ == "__main__":
    PAGE.write_text(made(), encoding="utf-8")
