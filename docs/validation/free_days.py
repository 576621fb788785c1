"""Were the free days that the program put first the right ones? Run by hand:

    python docs/validation/free_days.py

Twenty invented lawns on the long records of tests/data/weather, in each of ten years: the free days
are ranked with what was known on the day, and then looked at with the weather that came. Writes
free_days.md beside this file. About five minutes.
"""

from __future__ import annotations

import datetime as dt
import gzip
import tempfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from multiprocessing import Pool
from pathlib import Path

from advisor.advice.book import Advice
from advisor.base.record import replace
from advisor.cases.case import Case
from advisor.cases.open_folder import open_case
from advisor.planning.rehearsal import End
from advisor.planning.weekends import Choice, compose_weekends
from advisor.rulebook.read_rulebook import read_rulebook

ROOT = Path(__file__).parents[2]
WEATHER = ROOT / "tests" / "data" / "weather"
PAGE = Path(__file__).with_suffix(".md")
YEARS = 10
AHEAD_DAYS = 75


@dataclass(frozen=True)
class Ground:
    """A place, the day in the year on which free days are asked for, and the holiday that falls
    into its season. first: of the ten years, the last that the record covers."""

    name: str
    record: str
    place: str
    grasses: tuple[str, ...]
    asked: tuple[int, int]
    holiday: str
    first: int


AUTUMN = (8, 10)
GROUNDS = (
    Ground(
        "central Iowa", "central_iowa.csv.gz",
        "{latitude: 42.0, longitude: -93.0, elevation: 300 m, country: US, subdivision: IA}",
        ("kentucky_bluegrass", "tall_fescue", "perennial_ryegrass"), AUTUMN, "Labor Day", 2010,
    ),
    Ground(
        "western Nebraska", "champion_ne.csv.gz",
        "{latitude: 40.4, longitude: -101.7, elevation: 1030 m, country: US, subdivision: NE}",
        ("kentucky_bluegrass", "tall_fescue", "perennial_ryegrass"), AUTUMN, "Labor Day", 2008,
    ),
    Ground(
        "Norfolk, England", "norfolk_uk.csv.gz",
        "{latitude: 52.6, longitude: 1.0, elevation: 40 m, country: GB, subdivision: ENG}",
        ("perennial_ryegrass", "fine_fescues", "tall_fescue"), AUTUMN,
        "Late Summer Bank Holiday", 2011,
    ),
    Ground(
        "upstate South Carolina", "clemson_sc.csv.gz",
        "{latitude: 34.7, longitude: -82.8, elevation: 250 m, country: US, subdivision: SC}",
        ("tall_fescue", "kentucky_bluegrass", "perennial_ryegrass"), AUTUMN, "Labor Day", 2010,
    ),
)  # fmt: skip
KINDS: tuple[tuple[int, str, str, int], ...] = (
    (3000, "6 h", "can be watered", 1),
    (3000, "4 h", "cannot be watered", 1),
    (6000, "6 h", "can be watered", 1),
    (9000, "6 h", "can be watered", 2),
    (1500, "3 h", "can be watered", 1),
)
"""Size in ft², hours of a free day, whether the seed can be watered, and people. The second is
cored and rid of thatch, and not sown."""


@dataclass(frozen=True)
class Outcome:
    """One lawn in one year. rank: of the first choice that went through with what came, None where
    none did. ends: how the first choice, the holiday and the soonest days came out; None where
    there is none. promised: the share of the years in which the first was to go through.
    """

    ground: str
    kind: int
    year: int
    choices: int
    rank: int | None
    best_rank: int | None
    ends: tuple[End | None, End | None, End | None]
    promised: float


def site_of(ground: Ground, kind: int) -> tuple[str, str]:
    """The site file and the journal's rows without their dates."""
    size, hours, water, people = KINDS[kind]
    grass = ground.grasses[kind % len(ground.grasses)]
    waters = "true" if water == "can be watered" else "false"
    site = (
        f"# Invented: no such lawn.\nformat: 1\nname: Lawn (invented)\nplace: {ground.place}\n"
        f"stand: [{{grass: {grass}}}]\nsown_on: 2000-09-01\n"
        f"areas: [{{name: lawn, size: {size} ft2}}]\n"
        f"soil: {{texture: silt_loam}}\nwater: {{irrigated: {waters}, can_water_seed: {waters}}}\n"
        f"people: {{number: {people}, hours_per_day: {hours}}}\n"
    )
    seen = [
        "observation,thatch_depth,0.9 in", "observation,soil_firmness,hard",
        "observation,weed_preventer,none", "observation,lines_of_your_own,no",
    ]  # fmt: skip
    if waters == "true":
        seen += ["wish,overseeding,yes", "observation,good_turf_share,70 %"]
    return site, "\n".join(seen)


def lawn(ground: Ground, kind: int, year: int, folder: Path) -> Case:
    """The lawn as it is known on the day of a year."""
    site, seen = site_of(ground, kind)
    on = dt.date(year, *ground.asked)
    rows = [f"r{n},{on},{row},," for n, row in enumerate(seen.splitlines(), 1)]
    folder.mkdir()
    (folder / "site.yaml").write_text(site)
    (folder / "journal.csv").write_text(
        "\n".join(["id,date,kind,what,value,area,note", *rows]) + "\n"
    )
    (folder / "weather.csv").write_bytes(gzip.decompress((WEATHER / ground.record).read_bytes()))
    return open_case(folder, read_rulebook(), on)


def with_what_came(case: Case) -> Case:
    """The same day with the days to come known, as a forecast that will be right."""
    assert case.weather is not None
    until = case.on + dt.timedelta(days=AHEAD_DAYS + 60)
    keep = (until - case.weather.first).days + 1
    columns = {name: values[:keep] for name, values in case.weather.columns.items()}
    filled = {name: marks[:keep] for name, marks in case.weather.filled.items()}
    known = replace(
        case.weather, days=case.weather.days[:keep], columns=columns, filled=filled,
        forecast_from=case.on + dt.timedelta(days=1), forecast_issued=case.on,
    )  # fmt: skip
    return replace(case, weather=known)


def end_of(choice: Choice | None) -> End | None:
    if choice is None or choice.rehearsal is None:
        return None
    return choice.rehearsal.years[0].end


def outcome(ground: Ground, kind: int, year: int, folder: Path) -> Outcome | None:
    case = lawn(ground, kind, year, folder)
    last = case.on + dt.timedelta(days=AHEAD_DAYS)
    ranked = compose_weekends(Advice(case), None, last).ranked
    hindsight = compose_weekends(Advice(with_what_came(case)), None, last)
    came = {choice.run.first: choice for choice in hindsight.choices}
    if not ranked or ranked[0].rehearsal is None:
        return None
    ends = [end_of(came.get(choice.run.first)) for choice in ranked]
    hours = [came[c.run.first].expected_hours for c in ranked]
    best = max(
        (i for i, end in enumerate(ends) if end == "through"),
        key=lambda i: (hours[i], len(ranked[i].run.days), -i),
        default=None,
    )
    holiday = next((c for c in ranked if ground.holiday in c.run.holidays), None)
    soonest = min(ranked, key=lambda choice: choice.run.first)
    return Outcome(
        ground.name, kind, year, len(ranked),
        next((i for i, end in enumerate(ends, 1) if end == "through"), None),
        None if best is None else best + 1,
        (ends[0], end_of(came[holiday.run.first]) if holiday else None,
         end_of(came[soonest.run.first])),
        ranked[0].rehearsal.through,
    )  # fmt: skip


def _of(pair: tuple[Ground, int]) -> list[Outcome]:
    ground, kind = pair
    found = []
    with tempfile.TemporaryDirectory() as folder:
        for year in range(ground.first, ground.first + YEARS):
            one = outcome(ground, kind, year, Path(folder) / str(year))
            if one is not None:
                found.append(one)
    return found


def page(found: Sequence[Outcome], lawns: int) -> str:
    return "\n".join(
        [
            _INTRODUCTION.format(lawns=lawns, years=YEARS, ahead=AHEAD_DAYS, cases=len(found)),
            "## What became of the days", "", *_ends(found), "",
            "## Where the best days stood", "", *_ranks(found), "",
            "## What was promised and what came", "", *_promised(found), "",
        ]
    )  # fmt: skip


def _ends(found: Sequence[Outcome]) -> Iterator[str]:
    yield "| place | lawns × years | our first choice | always the holiday | always the next |"
    yield "|---|---|---|---|---|"
    names = list(dict.fromkeys(one.ground for one in found))
    for name in [*names, "all"]:
        of = [one for one in found if name in ("all", one.ground)]
        cells = [_three([one.ends[n] for one in of]) for n in range(3)]
        yield f"| {name} | {len(of)} | {' | '.join(cells)} |"


def _three(ends: Sequence[End | None]) -> str:
    known = [end for end in ends if end is not None]
    if not known:
        return "none falls into it"
    share = [round(100 * known.count(end) / len(known)) for end in ("through", "by_rain", "lost")]
    return f"{share[0]} % through, {share[1]} % by rain, {share[2]} % lost"


def _ranks(found: Sequence[Outcome]) -> Iterator[str]:
    could = [one for one in found if one.rank is not None]
    yield (
        f"In {len(found) - len(could)} of {len(found)} cases no free days of the time went "
        "through; they are left out here. The best are those on which most hours of the work that "
        "is wanted, or may be, found a day; many years have several that are nearly as good."
    )
    yield ""
    yield "| rank that we gave | the first that went through | the best of all |"
    yield "|---|---|---|"
    for rank in range(1, 6):
        first = sum(one.rank == rank for one in could)
        best = sum(one.best_rank == rank for one in could)
        yield f"| {rank} | {first} | {best} |"
    later = sum(one.rank > 5 for one in could if one.rank)
    best = sum(one.best_rank > 5 for one in could if one.best_rank)
    yield f"| 6 and more | {later} | {best} |"
    mean = sum(one.best_rank or 0 for one in could) / max(len(could), 1)
    of = sum(one.choices for one in could) / max(len(could), 1)
    yield ""
    yield f"The best days stood at {mean:.1f} in the mean, of {of:.1f} runs of free days."


def _promised(found: Sequence[Outcome]) -> Iterator[str]:
    yield "| share of the years promised | cases | went through |"
    yield "|---|---|---|"
    for low, high in ((0.0, 0.25), (0.25, 0.5), (0.5, 0.75), (0.75, 0.9), (0.9, 1.01)):
        of = [one for one in found if low <= one.promised < high]
        if of:
            came = sum(one.ends[0] == "through" for one in of) / len(of)
            yield f"| {low:.0%} to {min(high, 1.0):.0%} | {len(of)} | {came:.0%} |"


_INTRODUCTION = """# Free days: were those that were put first the right ones?

Written by `docs/validation/free_days.py`; do not edit by hand.

- {lawns} lawns, all invented, on real records (tests/data/weather: central_iowa, champion_ne,
  norfolk_uk, clemson_sc), in each of {years} years; {cases} cases in which the program could tell.
- On 10 August of each year the free days of the next {ahead} days are ranked with the record up to
  that day. The whole is low mowing, thatch, cores and seed; for one lawn of each place, whose seed
  nobody can water, it is what is left of it, if that is more than one job.
- Then the same is reckoned with the weather that came. *Through*: all of it found a day, in order,
  within that run of free days; *by rain*: with the free days of the next two weeks; *lost*: not
  even so.
- The holiday is Labor Day in the United States and the late summer bank holiday in England. The
  next is the first run of free days of all.
- Whether people could work is judged by rain, heat and frost of the day alone, in hindsight too.
- The lawns of a place share its ten years, so each row rests on ten draws of weather, not on forty
  or fifty: a difference of some tenths between two columns of one place may be chance.
"""


def main() -> None:
    pairs = [(ground, kind) for ground in GROUNDS for kind in range(len(KINDS))]
    with Pool() as pool:
        found = [one for each in pool.imap(_of, pairs) for one in each]
    PAGE.write_text(page(found, len(pairs)), encoding="utf-8")
    print(PAGE.read_text(encoding="utf-8"))


if __name__ == "__main__":
    main()
