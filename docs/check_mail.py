"""The HTML standard's validator and an accessibility checker over mails of many kinds. By hand.

    npm install --prefix FOLDER axe-core vnu-jar
    python docs/check_mail.py FOLDER [--keep FOLDER]

It needs Java for the Nu Html Checker (vnu-jar), and Chromium, in which axe-core looks at each mail
in light and in dark, 360 and 700 pixels wide. Prints a line for each mail, and ends with status 1
if anything was found. The mails are those of tests/mailing/support/mail_kinds.py. --keep: write
the pages and their pictures there.
"""

from __future__ import annotations

import html
import json
import re
import subprocess
import sys
import tempfile
from collections.abc import Callable
from email import message_from_bytes
from email.policy import default
from pathlib import Path

SUPPORT = Path(__file__).parents[1] / "tests" / "delivery" / "support"
WIDTHS = (360, 700)
# What Chromium calls them.
SCHEMES = {"light": 1, "dark": 0}
_HEIGHT = 2400
# Chromium's window is never narrower than 500 px, so the page stands in a frame of its width.
_FRAME = """<!DOCTYPE html><meta name="color-scheme" content="light dark">
<style>body {{ margin: 0 }} iframe {{ border: 0; display: block }}</style>
<iframe width="{width}" height="{height}" srcdoc="{page}"></iframe>"""
_RUN = """<script>{axe}</script><script>
axe.run(document, {{resultTypes: ["violations"]}}).then(found => {{
  const told = parent.document.createElement("pre");
  told.id = "told";
  told.textContent = JSON.stringify({{
    dark: matchMedia("(prefers-color-scheme: dark)").matches,
    width: innerWidth,
    wide: document.documentElement.scrollWidth > innerWidth,
    checked: found.passes.length,
    violations: found.violations.map(v => v.id + ": " + v.nodes.map(n => n.html).join(" | ")),
  }});
  parent.document.body.append(told);
}});
</script></body>"""


def pages(folder: Path) -> dict[str, str]:
    """The HTML part of each mail, by a name for its file."""
    sys.path.insert(0, str(SUPPORT))
    from mail_kinds import mails

    from advisor.rulebook.read_rulebook import read_rulebook

    found = {}
    for name, raw in mails(folder, read_rulebook()):
        part = message_from_bytes(raw, policy=default).get_body(("html",))
        assert part is not None
        found[re.sub(r"\W+", "-", name)] = part.get_content()
    return found


def validator(jar: Path, files: list[Path]) -> dict[str, list[str]]:
    """The messages of the Nu Html Checker on each file, notes left out."""
    command = ["java", "-jar", str(jar), "--format", "json", "--errors-only", "--exit-zero-always"]
    done = subprocess.run([*command, *map(str, files)], capture_output=True, text=True, check=True)
    told: dict[str, list[str]] = {path.stem: [] for path in files}
    for message in json.loads(done.stderr)["messages"]:
        told[Path(message["url"]).stem].append(f"{message.get('lastLine')}: {message['message']}")
    return told


def accessibility(page: str, axe: str, scheme: str, width: int, folder: Path) -> list[str]:
    """What axe-core finds on a page as it is shown; and what shows that it did not look."""
    probe = page.replace("</body>", _RUN.format(axe=axe))
    found = re.search(
        r'<pre id="told">(.*?)</pre>',
        chromium(probe, scheme, width, folder, "--dump-dom"),
        re.DOTALL,
    )
    if not found:
        return ["axe-core gave no answer"]
    told = json.loads(html.unescape(found[1]))
    wrong = list(told["violations"])
    if told["dark"] != (scheme == "dark"):
        wrong.append(f"was not shown in {scheme}")
    if told["width"] != width:
        wrong.append(f"was {told['width']} px wide")
    if told["wide"]:
        wrong.append("is wider than its window")
    if told["checked"] < 10:
        wrong.append(f"only {told['checked']} rules were checked")
    return wrong


def chromium(page: str, scheme: str, width: int, folder: Path, *options: str) -> str:
    """What Chromium prints about a page in a frame of this width."""
    frame = folder / "frame.html"
    framed = _FRAME.format(width=width, height=_HEIGHT, page=html.escape(page))
    frame.write_text(framed, encoding="utf-8")
    command = [
        "chromium", "--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars",
        f"--blink-settings=preferredColorScheme={SCHEMES[scheme]}",
        f"--window-size={max(width, 500)},{_HEIGHT}", "--virtual-time-budget=20000",
        *options, frame.as_uri(),
    ]  # fmt: skip
    return subprocess.run(command, capture_output=True, text=True, check=True).stdout


def check(made: Callable[[Path], dict[str, str]], widths: tuple[int, ...], noun: str) -> int:
    """Print what is found on each of the pages that `made` writes into a folder; 1 if anything is.

    Reads the folder of the checkers, and --keep, from the command line.
    """
    modules = Path(sys.argv[1]) / "node_modules"
    keep = Path(sys.argv[3]).resolve() if sys.argv[2:3] == ["--keep"] else None
    if keep:
        keep.mkdir(parents=True, exist_ok=True)
    axe = (modules / "axe-core" / "axe.min.js").read_text(encoding="utf-8")
    axe = axe.replace("</script", "<\\/script").replace("</body", "<\\/body")
    jar = next((modules / "vnu-jar").rglob("vnu.jar"))
    wrong = 0
    with tempfile.TemporaryDirectory() as folder:
        scratch = Path(folder)
        shown = made(scratch / "list")
        files = [scratch / f"{name}.html" for name in shown]
        for path in files:
            path.write_text(shown[path.stem], encoding="utf-8")
        told = validator(jar, files)
        for name, page in shown.items():
            said = [f"validator: {message}" for message in told[name]]
            for scheme in SCHEMES:
                for width in widths:
                    found = accessibility(page, axe, scheme, width, scratch)
                    said += [f"{scheme}, {width} px: {message}" for message in found]
                    if keep:
                        picture = keep / f"{name}-{scheme}-{width}.png"
                        chromium(page, scheme, width, scratch, f"--screenshot={picture}")
            wrong += len(said)
            size = len(page.encode())
            print(f"{name}: {size:,} bytes; {'; '.join(said) or 'nothing found'}", flush=True)
    print(f"{len(shown)} {noun}, {wrong} findings")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(check(pages, WIDTHS, "mails"))
