"""The programme files against what is printed of the order, and what their reader refuses.

Printed orders, as they were read (rules/sources.yaml has where):
- a master gardener's column of New Ulm, Minnesota, "Lawn renovation" (2018): cut short, thatch,
  cores, seed, rake, water; cut at 4 in; "fertilize renovated lawns in October";
- J. A. Fizzell, University of Illinois, on overseeding and lawn renovation (1988): mow short, power
  rake, seed, water;
- Royal Horticultural Society, Garden Rosemoor, "Turf maintenance" (2015): scarify, aerate,
  top-dress, feed;
- S. Bughrara, Michigan State University, E2910, "Establishing a new lawn using seed": organic
  matter, lime, seed, water, mow;
- University of California, "UC Guide to Healthy Lawns: when to aerate" (2017): core before a weed
  preventer;
- R. Wolford, University of Illinois, "Renovating a lawn" (2005): the cause (grubs), then patches or
  a whole area anew, water.
"""

from __future__ import annotations

import datetime as dt

import pytest

from advisor.base.paths import data_folder
from advisor.base.problems import BadInput, Problems
from advisor.base.strict_yaml import load_text
from advisor.rulebook.model import RuleBook
from advisor.rulebook.programme import Programme, ProgrammeJob, ThroughStep
from advisor.rulebook.read_programme import check_order, read_programme
from advisor.rulebook.stale import stale

FILES = sorted(path.stem for path in (data_folder("rules") / "programmes").glob("*.yaml"))
PRINTED = [
    ("renovation", "Minnesota 2018", "low_mow thatch_removal core_aeration overseeding"),
    ("renovation", "Illinois 1988", "low_mow thatch_removal overseeding seedling_watering"),
    ("renovation", "RHS 2015", "thatch_removal core_aeration topdressing feeding"),
    ("warm_renovation", "RHS 2015", "thatch_removal core_aeration topdressing feeding"),
    ("new_lawn", "Michigan E2910", "topdressing lime new_seeding seedling_watering mowing"),
    ("spring_start", "California 2017", "core_aeration preemergent"),
    ("after_damage", "Illinois 2005", "grubs patch_repair seedling_watering feeding"),
]


def steps(programme: Programme) -> list[ProgrammeJob | ThroughStep]:
    return [*programme.jobs, *programme.through]


def read(text: str, book: RuleBook) -> Programme:
    document = load_text(text, "programmes/x.yaml")
    return read_programme(document, book.vocabulary, book.sources, book.grasses, book.operations)


def refused(text: str, book: RuleBook) -> str:
    with pytest.raises(BadInput) as found:
        read(text, book)
    return "\n".join(str(problem) for problem in found.value.problems)


def test_there_are_those_six(book: RuleBook) -> None:
    assert list(book.programmes) == FILES
    assert set(FILES) == {
        "renovation", "warm_renovation", "new_lawn", "first_year", "after_damage", "spring_start",
    }  # fmt: skip
    causes = {cause.id for cause in book.programmes["after_damage"].causes}
    assert causes == {"drought", "grubs", "dog", "builders"}


@pytest.mark.parametrize(("id", "where", "order"), PRINTED, ids=lambda x: str(x).split(" ")[0])
def test_the_order_is_the_printed_one(id: str, where: str, order: str, book: RuleBook) -> None:
    ours = [step.job for step in steps(book.programmes[id])]
    assert [job for job in ours if job in order.split()] == order.split(), where


def test_the_first_feed_falls_where_minnesota_feeds(book: RuleBook) -> None:
    """Sown in early to mid-September, fed in October (New Ulm, 2018)."""
    (feed,) = (x for x in book.programmes["renovation"].through if x.job == "feeding")
    first = dt.date(2026, 9, 5) + dt.timedelta(days=feed.days[0])
    last = dt.date(2026, 9, 10) + dt.timedelta(days=feed.days[1])
    assert (first.month, last.month) == (10, 10)


def test_derived_days_are_the_sums_that_they_say(book: RuleBook) -> None:
    """A month after sprouting (Kansas 2017) in two to three weeks (Iowa 2020)."""
    for id in ("renovation", "new_lawn", "after_damage"):
        (feed,) = (x for x in book.programmes[id].through if x.job == "feeding")
        assert feed.days == (30, 30 + 21)
    (weeds,) = (x for x in book.programmes["first_year"].jobs if x.job == "broadleaf_weeds")
    assert weeds.days == (2 * 7, 30)
    assert weeds.days[1] >= 2 * 14


@pytest.mark.parametrize("id", FILES)
def test_no_programme_contradicts_the_order_of_the_jobs(id: str, book: RuleBook) -> None:
    season = [s.job for s in steps(book.programmes[id]) if not book.operations[s.job].routine]
    for i, first in enumerate(season):
        for later in season[i + 1 :]:
            assert later not in book.all_before[first], (first, later)


@pytest.mark.parametrize("id", FILES)
def test_every_job_is_for_every_grass_that_meets_it(id: str, book: RuleBook) -> None:
    programme = book.programmes[id]
    met = {grass: programme.jobs_for(grass) for grass in programme.grasses}
    assert met
    for grass, jobs in met.items():
        assert {j.job for j in jobs} & set(programme.hearts), grass
        for step in (*jobs, *programme.through):
            assert grass in book.operations[step.job].grasses, (grass, step.job)
    for cause in programme.causes:
        for grass in programme.grasses:
            jobs = programme.jobs_for(grass, frozenset({cause.id}))
            assert any(job.heart for job in jobs), cause.id


def test_every_grass_has_its_renovation_and_a_spring(book: RuleBook) -> None:
    for grass in book.grasses:
        ids = {id for id, x in book.programmes.items() if grass in x.grasses}
        assert len(ids & {"renovation", "warm_renovation"}) == 1, grass
        assert {"new_lawn", "first_year", "after_damage", "spring_start"} <= ids, grass


@pytest.mark.parametrize("id", FILES)
def test_every_number_has_its_evidence_and_none_stands_unused(id: str, book: RuleBook) -> None:
    programme = book.programmes[id]
    for step in programme.jobs[1:]:
        assert step.days is not None
        assert step.evidence, step.job
    assert all(step.evidence for step in programme.through)
    cited = {name for step in steps(programme) for name in step.evidence}
    assert cited == set(programme.evidence)
    for evidence in programme.evidence.values():
        if evidence.kind == "published":
            assert evidence.source is not None
            assert evidence.at
            assert evidence.checked is not None
        else:
            assert evidence.says


def test_a_day_that_is_ours_is_not_passed_off_as_printed(book: RuleBook) -> None:
    """The first evidence stands behind the number itself: where the source gives no days, ours."""
    for programme in book.programmes.values():
        for step in steps(programme):
            if step.evidence:
                first = programme.evidence[step.evidence[0]]
                assert "no days" not in first.says or first.kind != "published", step.job


def test_old_evidence_of_a_programme_is_told(book: RuleBook) -> None:
    found = {s.where for s in stale(book, dt.date(2030, 1, 1))}
    assert {f"programme {id}" for id in FILES} <= found


SOUND = """\
format: 1
programme: x
title: X
aim: An invented programme.
applies_to: {season_type: [cool]}
when: {fact: intended.overseeding, is: true}
jobs:
  - {job: thatch_removal, says: thatch}
  - {job: overseeding, heart: true, days: [0 d, 1 wk], says: seed, evidence: [memory]}
through:
  - {job: feeding, days: [30 d, 50 d], says: feed, evidence: [memory]}
evidence:
  - {id: memory, kind: from_memory, says: ours}
"""


def test_a_sound_file_is_read(book: RuleBook) -> None:
    found = read(SOUND, book)
    assert [job.days for job in found.jobs] == [None, (0, 7)]
    assert found.hearts == ("overseeding",)
    assert "kentucky_bluegrass" in found.grasses
    assert "zoysiagrass" not in found.grasses


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("job: overseeding", "job: overseding", "x.yaml:9:11: job 'overseding' has no rule"),
        ("days: [0 d, 1 wk], ", "", "x.yaml:9:5: say how many days after the job before it"),
        ("[30 d, 50 d]", "[-3 d, 50 d]", "none below 0"),
        ("[30 d, 50 d]", "[30 in, 50 d]", "x.yaml:11:27: '30 in' is a depth"),
        ("job: feeding", "job: overseeding", "x.yaml:11:11: job 'overseeding' stands twice"),
        ("intended.overseeding", "intended.overseding", "did you mean 'intended.overseeding'?"),
    ],
)  # fmt: skip
def test_what_is_refused(old: str, new: str, says: str, book: RuleBook) -> None:
    text = SOUND.replace(old, new, 1)
    assert text != SOUND
    assert says in refused(text, book)


def test_a_job_that_is_not_for_the_grass_is_narrowed(book: RuleBook) -> None:
    text = SOUND.replace("[cool]", "[cool, warm]").replace("thatch_removal", "spring_seeding")
    assert "x.yaml:8:11: job 'spring_seeding' is not for bahiagrass, bermudagrass" in refused(
        text, book
    )
    narrowed = text.replace("seeding, says: thatch", "seeding, for: {season_type: [cool]}, says: t")
    assert read(narrowed, book).jobs[0].grasses


def test_an_order_against_the_files_of_the_jobs_is_refused(book: RuleBook) -> None:
    turned = SOUND.replace("thatch_removal", "feeding", 1).replace(
        "job: feeding, days", "job: lime, days"
    )
    problems = Problems()
    check_order({"x": read(SOUND, book)}, book, problems)
    problems.raise_if_any()
    check_order({"x": read(turned, book)}, book, problems)
    with pytest.raises(BadInput, match=r"x\.yaml:9:11: 'overseeding' comes before 'feeding'.*move"):
        problems.raise_if_any()


def test_no_pause_is_longer_than_a_season(book: RuleBook) -> None:
    """Seed takes up to two months to establish (University of California); nothing takes more."""
    for programme in book.programmes.values():
        for step in steps(programme):
            if step.days is not None:
                assert 0 <= step.days[0] <= step.days[1] <= 60
