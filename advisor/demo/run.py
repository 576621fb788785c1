"""The demo: the invented site's digest, two answers, year and plan, as files and as text."""

from __future__ import annotations

import json
from pathlib import Path

from advisor.answers.consult import consult
from advisor.answers.lawn import Lawn, open_lawn
from advisor.answers.to_json import answer_json
from advisor.demo.scenario import DEMO_DAY, write_demo
from advisor.digest.edition import compose_edition
from advisor.digest.render import answer_text, digest_html, digest_text
from advisor.planning.weekends import compose_weekends
from advisor.planning.workplan import compose_workplan
from advisor.rulebook.read_rulebook import read_rulebook
from advisor.sheets.weekends_text import weekends_text
from advisor.sheets.workplan_pages import workplan_html, workplan_text
from advisor.yearly.calendar_feed import write_calendar
from advisor.yearly.pages import year_html, year_text
from advisor.yearly.year import compose_year

PLAN_DAYS = 3
"""Saturday to Labor Day."""
QUESTIONS = ("should I dethatch this year", "is it too late to overseed")


def run_demo(folder: Path) -> str:
    """Write site, digest, answers, year and plan into `folder`; return what to show."""
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
        data = [answer_json(a, lawn.site.name, lawn.book, found.law) for a in found.answers]
        (folder / f"answer-{number}.json").write_text(
            json.dumps(data, ensure_ascii=False, indent=2) + "\n", encoding="utf-8"
        )
        shown.append(text)
    _year_and_plan(lawn, folder)
    line = "=" * 78
    return f"\n{line}\n\n".join(shown)


def _year_and_plan(lawn: Lawn, folder: Path) -> None:
    """The year page, and the long weekend that begins on the demo's day."""
    year = compose_year(lawn, DEMO_DAY)
    (folder / "year.txt").write_text(year_text(year), encoding="utf-8")
    (folder / "year.html").write_text(year_html(year), encoding="utf-8")
    write_calendar(year, folder / "year.ics")
    weekends = weekends_text(compose_weekends(lawn, DEMO_DAY))
    (folder / "weekends.txt").write_text(weekends, encoding="utf-8")
    plan = compose_workplan(lawn, DEMO_DAY, DEMO_DAY, PLAN_DAYS)
    (folder / "workplan.txt").write_text(workplan_text(plan), encoding="utf-8")
    (folder / "workplan.html").write_text(workplan_html(plan), encoding="utf-8")
