"""The demo: the invented site's digest and two answers, as files and as text."""

from __future__ import annotations

import json
from pathlib import Path

from advisor.answers.consult import consult
from advisor.answers.lawn import open_lawn
from advisor.answers.to_json import answer_json
from advisor.demo.scenario import DEMO_DAY, write_demo
from advisor.digest.edition import compose_edition
from advisor.digest.render import answer_text, digest_html, digest_text
from advisor.rulebook.read_rulebook import read_rulebook

QUESTIONS = ("should I dethatch this year", "is it too late to overseed")


def run_demo(folder: Path) -> str:
    """Write site, digest and answers into `folder`; return what to show on the screen."""
    site = write_demo(folder)
    lawn = open_lawn(site, read_rulebook())
    edition = compose_edition(lawn, DEMO_DAY)
    digest = digest_text(edition.digest)
    (folder / "digest.txt").write_text(digest, encoding="utf-8")
    (folder / "digest.html").write_text(digest_html(edition.digest), encoding="utf-8")
    shown = [digest]
    for number, question in enumerate(QUESTIONS, 1):
        found = consult(lawn, question, DEMO_DAY)
        texts = [answer_text(a, lawn.book, found.weather, found.law) for a in found.answers]
        text = f'"{question}"\n\n' + "\n".join(texts)
        (folder / f"answer-{number}.txt").write_text(text, encoding="utf-8")
        data = [answer_json(a, lawn.site.name, lawn.book) for a in found.answers]
        (folder / f"answer-{number}.json").write_text(
            json.dumps(data, ensure_ascii=False, indent=2) + "\n", encoding="utf-8"
        )
        shown.append(text)
    line = "=" * 78
    return f"\n{line}\n\n".join(shown)
