"""The worked week in README.md: real commands on the demo lawn with what they really print.

`python docs/worked_week.py` runs every command between the two markers of README.md and puts its
output behind it. A test runs the same and compares, so the README cannot drift.
"""

from __future__ import annotations

import os
import re
import shlex
import subprocess
import sys
import tempfile
from pathlib import Path

README = Path(__file__).parents[1] / "README.md"
START, END = "<!-- worked week -->", "<!-- end of worked week -->"
_BLOCK = re.compile(r"```console\n(.*?)```", re.DOTALL)


def worked_week(readme: str) -> str:
    """The README with every command of the worked week run anew, in order, in one folder."""
    before, rest = readme.split(START)
    section, after = rest.split(END)
    with tempfile.TemporaryDirectory() as folder:
        _run("advisor demo --to demo", folder)
        section = _BLOCK.sub(lambda block: _shown(block[1], folder), section)
    return f"{before}{START}{section}{END}{after}"


def _shown(block: str, folder: str) -> str:
    """A block with fresh output. `| head` and the like are the reader's own shell."""
    commands = [line for line in block.splitlines() if line.startswith("$ ")]
    parts = [f"{line}\n{_run(line[2:], folder)}" for line in commands]
    return "```console\n" + "\n".join(part.rstrip() for part in parts) + "\n```"


def _run(command: str, folder: str) -> str:
    words, _, shorten = command.partition(" | ")
    run = [sys.executable, "-m", *shlex.split(words)]
    done = subprocess.run(
        run, cwd=folder, capture_output=True, text=True, encoding="utf-8", check=True,
        env={**os.environ, "PYTHONUTF8": "1"},
    )  # fmt: skip
    if not shorten:
        return done.stdout
    if shorten.startswith("sed '/"):  # print up to a line, as `sed '/PATTERN/q'` does
        pattern = shorten.removeprefix("sed '/").removesuffix("/q'")
        lines = done.stdout.splitlines(keepends=True)
        end = next(i for i, line in enumerate(lines) if re.search(pattern, line))
        return "".join(lines[: end + 1])
    raise ValueError(f"do not know how to shorten by '{shorten}'")


if __name__ == "__main__":
    README.write_text(worked_week(README.read_text(encoding="utf-8")), encoding="utf-8")
