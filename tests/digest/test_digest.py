"""The digest's limits, its cautions, and the promise that text and HTML say the same."""

from __future__ import annotations

import datetime as dt
import html
import re
import shutil

import pytest

from advisor.base.record import replace
from advisor.cases.open_folder import open_case
from advisor.demo.scenario import DEMO_DAY
from advisor.render.digest.edition import compose_edition
from advisor.render.digest.leads import choose_jobs
from advisor.render.digest.question import next_question
from advisor.render.digest.render import digest_html, digest_text

DAYS = [DEMO_DAY - dt.timedelta(days=n) for n in (330, 240, 150, 90, 45, 21, 7, 0)]
JARGON = re.compile(r"\b(p10|p50|p90|basis|gate|flips?|ensemble|MET|DU)\b")


def words_of(text):
    """Text without layout, so that wrapping and tags do not matter."""
    plain = html.unescape(re.sub(r"<[^>]+>", " ", text))
    return " ".join(plain.split())


def head_of(text):
    return text.split("-" * 78)[0]


@pytest.fixture(scope="module", params=DAYS, ids=str)
def edition(request, demo_lawn):
    return compose_edition(replace(demo_lawn, on=request.param))


def test_the_head_keeps_to_its_limits(edition):
    head = head_of(digest_text(edition.digest))
    assert len(head.split()) <= 350
    assert len(edition.digest.tasks) <= 4
    assert len(edition.digest.coming) <= 3


def test_no_jargon(edition):
    assert not JARGON.search(words_of(digest_text(edition.digest)))
    body = digest_html(edition.digest).split("</style>")[1]
    assert not JARGON.search(words_of(body))


def test_every_task_has_date_minutes_amount_reason_and_caution(edition):
    for task in edition.digest.tasks:
        # What goes on without a reminder has no day by which.
        assert task.routine or re.search(r"by \d+ [A-Z][a-z]{2}", task.when), task.title
        assert not task.routine or not task.when, task.title
        assert task.why
        assert re.search(r"\d+ (min|h)\b", task.effort), task.title
        assert task.cautions, task.title
        assert task.nothing


def missing_cautions(edition, shown):
    """Cautions of the shown tasks, short and full, that are not in what is shown."""
    said = words_of(shown)
    shown, _ = choose_jobs(edition.week.do)
    short = {c.short for job in shown for a in job for _, c in a.safety}
    full = {c.text for a in edition.week.do for _, c in a.safety}
    return {caution for caution in short | full if words_of(caution) not in said}


@pytest.mark.parametrize("render", [digest_text, digest_html])
def test_no_renderer_drops_a_caution(edition, render):
    assert not missing_cautions(edition, render(edition.digest))


@pytest.mark.parametrize("render", [digest_text, digest_html])
def test_a_dropped_caution_is_noticed(demo_lawn, render):
    """The check above can fail: each caution, taken out of the digest, is missed by it."""
    edition = compose_edition(replace(demo_lawn, on=DEMO_DAY))
    assert edition.digest.care
    for text in edition.digest.care:
        kept = tuple(c for c in edition.digest.care if c != text)
        assert text in missing_cautions(edition, render(replace(edition.digest, care=kept)))
    for i, task in enumerate(edition.digest.tasks):
        for field in ("cautions", "care"):
            for text in getattr(task, field):
                cut = replace(task, **{field: tuple(c for c in getattr(task, field) if c != text)})
                tasks = tuple(cut if j == i else t for j, t in enumerate(edition.digest.tasks))
                shown = render(replace(edition.digest, tasks=tasks))
                elsewhere = any(text in getattr(t, field) for t in tasks)
                assert (text in missing_cautions(edition, shown)) != elsewhere


def test_a_caution_stands_once(edition):
    """Short above and full below, each with the first job that it is for."""
    for field in ("cautions", "care"):
        told = [text for task in edition.digest.tasks for text in getattr(task, field)]
        # A task all of whose cautions were told before still has its most important one.
        alone = [t for t in edition.digest.tasks if not t.care]
        assert len(told) - len(set(told)) <= len(alone)


def test_text_and_html_say_the_same(edition):
    text, page = words_of(digest_text(edition.digest)), words_of(digest_html(edition.digest))
    for task in edition.digest.tasks:
        why = (claim.says.rstrip(".") for claim in task.why)
        for said in (task.line, *why, task.effort, task.nothing, *task.steps):
            assert words_of(said) in text
            assert words_of(said) in page
    lines = (*edition.digest.coming, *edition.digest.held)
    says = (line.says.rstrip(".") for line in lines)
    for said in (*says, edition.digest.leave, *edition.digest.water):
        assert words_of(said) in text
        assert words_of(said) in page


def test_work_stands_in_the_order_in_which_it_is_done(demo_lawn):
    done = [
        a.decision.operation.id for a in compose_edition(replace(demo_lawn, on=DEMO_DAY)).week.do
    ]
    wanted = ["thatch_removal", "core_aeration", "overseeding"]
    assert [id for id in done if id in wanted] == wanted


def test_what_comes_before_a_task_is_not_told_as_if_it_came_after(demo_lawn):
    digest = compose_edition(replace(demo_lawn, on=DEMO_DAY)).digest
    assert [task.title for task in digest.tasks][-1].startswith("Overseeding")
    core = next(task for task in digest.tasks if task.title.startswith("Core aeration"))
    seed = digest.tasks[-1]
    assert core.when == f"{seed.when}, before overseeding"
    # Mowing goes on without a day by which.
    assert "mowing." in digest.then
    assert "after" not in digest.then.lower()


def test_sources_are_told_once_and_tied_by_number(edition):
    text = digest_text(edition.digest)
    head, _, listed = text.partition("\nSOURCES\n")
    told = re.findall(r"^ {0,2}\[(\d+)\] ", listed, re.MULTILINE)
    assert told == [str(n) for n in range(1, len(told) + 1)]
    cited = {
        n for group in re.findall(r"\[(\d+(?:, \d+)*)\]", words_of(head)) for n in group.split(", ")
    }
    assert cited == set(told)
    assert not re.search(r"\b(?:tests|docs)/", text)


def test_a_question_about_one_part_of_the_lawn_says_which(demo_site, book, tmp_path):
    """Seed was sown on the front, so it is the back that overseeding is asked for."""
    site = shutil.copytree(demo_site, tmp_path / "site")
    with (site / "journal.csv").open("a", encoding="utf-8") as journal:
        journal.write(f"r99,{DEMO_DAY},work,overseeding,,front,\n")
    asked = next_question(open_case(site, book, DEMO_DAY + dt.timedelta(days=1)))
    assert "(for overseeding in the back): " in asked
    assert " in the " not in next_question(open_case(demo_site, book, DEMO_DAY))
