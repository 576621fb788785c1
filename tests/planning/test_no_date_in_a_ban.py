"""No date that is said of a job lies where a law, or a wait, forbids the job.

The laws are those of rules/laws that forbid feeding for a part of the year; the weather is that of
central Iowa and of Clemson (tests/data/weather/README.md), the lawns are invented.
"""

from __future__ import annotations

import datetime as dt
import gzip
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from advisor.advice.book import Advice
from advisor.answers.answer import Answer
from advisor.base.record import replace
from advisor.cases.case import Case
from advisor.cases.open_folder import open_case
from advisor.cases.parts import parts_on
from advisor.facts.told_facts import LocalLaw
from advisor.planning.fit_days import fit_days
from advisor.planning.weekends import compose_weekends
from advisor.render.digest.edition import compose_edition
from advisor.render.digest.render import digest_text
from advisor.render.digest.week import compose_week
from advisor.render.yearly.calendar_plan import events_of
from advisor.render.yearly.rows import rows_of
from advisor.render.yearly.year import compose_year
from advisor.rulebook.law import Laws
from advisor.rulebook.read_rulebook import read_rulebook

DATA = Path(__file__).parents[1] / "data" / "weather"
BOOK = read_rulebook()
LAWS = [law for law in BOOK.laws.values() if any(r.subject == "blackout" for r in law.rules)]
SOUTH = {"FL": ("28.7, longitude: -81.3", "clemson_sc.csv.gz", "bermudagrass")}
NORTH = {
    "NJ": "40.4, longitude: -74.5", "MD": "39.2, longitude: -76.8", "NY": "41.9, longitude: -74.0",
    "VT": "44.2, longitude: -72.6", "MA": "42.3, longitude: -71.9",
}  # fmt: skip
MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"]
SAID = re.compile(rf"\b([0-9]{{1,2}})(?: to [0-9]{{1,2}})? ({'|'.join(MONTHS)})\b")
STEP = 13
FIRST = dt.date(2018, 1, 4)


def record_of(name: str) -> bytes:
    """The last years of a record; more of them would only take longer."""
    head, *rows = gzip.decompress((DATA / name).read_bytes()).splitlines(keepends=True)
    return head + b"".join(row for row in rows if row[:4] >= b"2010")


def lawn_under(folder: Path, law: Laws, extra: str = "") -> Case:
    part = law.subdivision
    where, record, grass = SOUTH.get(part) or (NORTH[part], "central_iowa.csv.gz", "tall_fescue")
    county = f", county: {law.county}" if law.county else ""
    (folder / "site.yaml").write_text(
        "format: 1\nname: Test\n"
        f"place: {{latitude: {where}, country: US, subdivision: {part}{county}}}\n"
        f"stand: [{{grass: {grass}}}]\nareas: [{{name: lawn, size: 3000 ft2}}]\n{extra}"
    )
    (folder / "weather.csv").write_bytes(record_of(record))
    return open_case(folder, BOOK)


def said_of(answer: Answer) -> str:
    """All that an answer says with a date in it but its own heading and the law's words."""
    results = (result for wanted in answer.measure for result in wanted.results)
    return "\n".join((answer.headline, answer.season, answer.later, *results))


def dates_in(text: str) -> Iterator[tuple[int, int]]:
    for day, month in SAID.findall(text):
        yield MONTHS.index(month) + 1, int(day)


def forbidden(bans: tuple[tuple[tuple[int, int], tuple[int, int]], ...], text: str) -> list[str]:
    """The dates of a text that lie in a ban."""
    law = LocalLaw(True, bans)
    days = [dt.date(2016, *date) for date in dates_in(text)]
    return [f"{day:%d %b}" for day in days if law.bans_feeding(day)]


def test_there_are_laws_with_dates() -> None:
    assert {law.subdivision for law in LAWS} >= {"NJ", "MD", "NY", "VT", "MA", "FL"}
    assert any("blackout" in operation.laws for operation in BOOK.operations.values())
    assert list(dates_in("opens 28 Nov to 3 Dec, 4 to 27 Apr, by 7 Dec")) == [
        (11, 28), (12, 3), (4, 4), (12, 7),
    ]  # fmt: skip


@pytest.mark.slow
@pytest.mark.sample(1)
@pytest.mark.parametrize("law", LAWS, ids=lambda law: law.id)
def test_no_date_lies_in_a_ban(law: Laws, tmp_path: Path) -> None:
    lawn = lawn_under(tmp_path, law)
    banned = {id for id, operation in BOOK.operations.items() if "blackout" in operation.laws}
    bans = tuple((r.first, r.last) for r in law.rules if r.first and r.last)
    seen = set()
    for number in range(0, 365, STEP):
        on = FIRST + dt.timedelta(days=number)
        for answer in compose_week(replace(lawn, on=on)).answers:
            decision = answer.decision
            if decision.operation.id not in banned:
                continue
            seen.add(decision.verdict)
            assert not forbidden(bans, said_of(answer)), (on, said_of(answer))
            assert decision.by is None or not LocalLaw(True, bans).bans_feeding(decision.by), on
    assert len(seen) > 1


@pytest.mark.slow
@pytest.mark.sample(1)
@pytest.mark.parametrize("law", LAWS, ids=lambda law: law.id)
def test_no_view_says_one(law: Laws, tmp_path: Path) -> None:
    lawn = lawn_under(tmp_path, law, "people: {free_days: [saturday, sunday]}\n")
    bans = tuple((r.first, r.last) for r in law.rules if r.first and r.last)
    in_force = LocalLaw(True, bans)
    for number in range(5, 365, 73):
        on = FIRST + dt.timedelta(days=number)
        year = compose_year(Advice(replace(lawn, on=on)))
        rows = [row for row in rows_of(year) if row.title.startswith("Feeding")]
        assert not forbidden(bans, "\n".join(line for row in rows for line in row.says)), on
        for event in events_of(year.advice):
            if event.summary.startswith("Feeding"):
                told = event.text.partition("\n")[2]
                assert not in_force.bans_feeding(event.start), (on, event)
                assert not in_force.bans_feeding(event.end - dt.timedelta(days=1)), (on, event)
                assert not forbidden(bans, told), (on, told)
        text = digest_text(compose_edition(replace(lawn, on=on)).digest)
        parts = (part.lstrip("0123456789. ") for part in text.split("\n\n"))
        about = [part for part in parts if part.startswith("Feeding")]
        assert not forbidden(bans, "\n".join(about)), (on, about)
        found = compose_weekends(Advice(replace(lawn, on=on)))
        for choice in found.choices:
            if choice.fit("feeding") > 0:
                assert not all(map(in_force.bans_feeding, choice.run.days)), (on, choice.run)


PREVENTER = """\
id,date,kind,what,value,area,note
r1,2018-06-05,work,preemergent,,,
r2,2018-06-05,observation,weed_preventer,dithiopyr,,
r3,2018-06-05,observation,preventer_label_wait,{wait} d,,
r4,2018-07-01,wish,overseeding,yes,,
r5,2018-07-01,observation,good_turf_share,70 %,,
"""


@pytest.mark.slow
@pytest.mark.parametrize("wait", [60, 90, 100, 130])
def test_no_sowing_is_told_for_a_day_inside_the_wait_of_a_label(wait: int, tmp_path: Path) -> None:
    """The wait ends on 4 August, 3 September, 13 September and 13 October."""
    (tmp_path / "site.yaml").write_text(
        "format: 1\nname: Test\nplace: {latitude: 42.0, longitude: -93.0, country: US}\n"
        "stand: [{grass: tall_fescue}]\nareas: [{name: lawn, size: 3000 ft2}]\n"
        "water: {can_water_seed: yes}\n"
    )
    (tmp_path / "journal.csv").write_text(PREVENTER.format(wait=wait))
    (tmp_path / "weather.csv").write_bytes(record_of("central_iowa.csv.gz"))
    lawn = open_case(tmp_path, BOOK)
    end = dt.date(2018, 6, 5) + dt.timedelta(days=wait)
    held = 0
    for number in range(0, 110, 10):
        on = dt.date(2018, 7, 2) + dt.timedelta(days=number)
        (part,) = parts_on(replace(lawn, on=on))
        for id in ("overseeding", "dormant_seeding", "spring_seeding", "new_seeding"):
            decision = part.decider.decide(id)
            if decision.ends is None or on >= end:
                continue
            held += 1
            current = decision.outlook.current
            if decision.verdict == "wait" and current is not None:
                assert current.opens.p10 >= end, (on, id, current)
            assert all(later.opening.opens.p50 >= end for later in decision.later), (on, id)
            fit = fit_days(part.decider, id)
            weather = part.decider.day.weather
            assert fit is not None
            assert weather is not None
            today, first = weather.axis.today, weather.axis.index(end)
            assert not fit.in_season[:, today:first].any(), (on, id)
    assert held


def test_the_season_goes_on_after_a_ban_within_it(tmp_path: Path) -> None:
    """Seminole County: none from 1 June to 30 September; bermudagrass is fed from May on."""
    law = next(law for law in LAWS if law.id == "us_fl_seminole")
    lawn = lawn_under(tmp_path, law)
    (part,) = parts_on(replace(lawn, on=dt.date(2018, 7, 15)))
    decision = part.decider.decide("feeding")
    assert decision.conflicts
    assert decision.verdict in ("hold", "ruled_out")
    assert decision.ends is not None
    assert decision.ends.day == dt.date(2018, 10, 1)
