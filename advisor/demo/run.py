"""The demo: the invented site's digest, two answers, year and plan, as files and as text."""

from __future__ import annotations

import json
from pathlib import Path

from advisor.advice.book import Advice
from advisor.answers.consult import consult
from advisor.answers.to_json import answer_json
from advisor.base.commands import typed_folder
from advisor.base.files import whole_folder, write_whole
from advisor.base.record import replace
from advisor.cases.case import Case
from advisor.cases.open_folder import open_case
from advisor.demo.scenario import DEMO_DAY, holds_demo, refuse_each, write_demo
from advisor.planning.plan_words import gate_lines
from advisor.planning.weekends import compose_weekends
from advisor.planning.workplan import compose_workplan
from advisor.render.digest.edition import compose_edition
from advisor.render.digest.render import answer_text, digest_html, digest_text
from advisor.render.sheets.weekends_text import weekends_text
from advisor.render.sheets.workplan_pages import workplan_html, workplan_text
from advisor.render.yearly.calendar_feed import write_calendar
from advisor.render.yearly.pages import year_html, year_text
from advisor.render.yearly.year import compose_year
from advisor.rulebook.read_rulebook import read_rulebook

PLAN_DAYS = 3
"""Saturday to Labor Day."""
QUESTIONS = ("should I dethatch this year", "is it too late to overseed")
FILES = (
    "digest.txt", "digest.html", "answer-1.txt", "answer-1.json", "answer-2.txt", "answer-2.json",
    "year.txt", "year.html", "weekends.txt", "workplan.txt", "workplan.html",
)  # fmt: skip
CALENDAR = "year.ics"


def run_demo(folder: Path) -> str:
    """Write site, digest, answers, year and plan into `folder`; return what to show.

    Raises `BadInput` if it cannot be written, or if it would write over other files than its own.
    """
    if not holds_demo(folder / "site"):
        what = "is there already; the demo would write over it, name another folder"
        there = [folder / name for name in (*FILES, CALENDAR) if (folder / name).exists()]
        refuse_each(there, what)
    with whole_folder(folder) as filled:
        site = write_demo(filled)
        # What it prints is typed later, when all lies where it was asked for.
        case = replace(
            open_case(site, read_rulebook(), DEMO_DAY), folder=typed_folder(folder / site.name)
        )
        advice = Advice(case)
        digest = compose_edition(case).digest
        answers = [_answer(case, question) for question in QUESTIONS]
        year = compose_year(advice)
        plan = compose_workplan(advice, DEMO_DAY, PLAN_DAYS)
        contents = (
            digest_text(digest), digest_html(digest),
            *(part for answer in answers for part in answer),
            year_text(year), year_html(year), weekends_text(compose_weekends(advice)),
            workplan_text(plan), workplan_html(plan),
        )  # fmt: skip
        for name, content in zip(FILES, contents, strict=True):
            write_whole(filled / name, content)
        write_calendar(year, filled / CALENDAR, site)
    line = "=" * 78
    return f"\n{line}\n\n".join([digest_text(digest), *(text for text, _ in answers)])


def _answer(case: Case, question: str) -> tuple[str, str]:
    """The answer to a question as text, and as JSON."""
    found = consult(case, question)
    texts, data = [], []
    for answer in found.answers:
        gates = found.advice.gates_of(answer.item)
        said = gate_lines(gates, found.advice.case)
        texts.append(answer_text(answer, case.book, found.weather, found.law, gates=said))
        data.append(answer_json(found.advice, answer, found.law))
    return (
        f'"{question}"\n\n' + "\n".join(texts),
        json.dumps(data, ensure_ascii=False, indent=2) + "\n",
    )
