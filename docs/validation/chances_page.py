"""The page and the picture of chances.py beside this file."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

import numpy as np
from chances import (
    BOOTSTRAPS,
    LEADS,
    PLACES,
    SURE,
    Cases,
    Question,
    Skill,
    Values,
    brier_by_year,
    skill,
)

EDGES = np.linspace(0.0, 1.0, 11)
FEW = 30
"""Bins with fewer predictions are not drawn."""
WEIGHTS = np.arange(0.0, 1.51, 0.1)


def page(cases: Cases, asked: Sequence[Question]) -> str:
    """The whole page, Markdown."""
    by_lead = {lead: skill(cases[cases["lead"] == lead]) for lead in LEADS}
    introduction = _INTRODUCTION.format(
        places=", ".join(PLACES), sure=100 * SURE, all_but=100 - 100 * SURE, draws=BOOTSTRAPS
    )
    windows = [question.name for question in asked]
    parts = (
        [introduction],
        ["## Skill", "", *_verdict(by_lead), "", *_leads(by_lead), ""],
        ["### By place", "", *_table(cases, PLACES, lambda i: cases["place"] == i), ""],
        ["### By window", "", *_table(cases, windows, lambda i: cases["question"] == i), ""],
        [_RELIABILITY, ""],
        *([f"### {lead} days ahead", "", *_reliability(cases, lead), ""] for lead in LEADS),
        [_SHRINKING, *_shrinking(cases), "", _CLOSE],
    )
    return "\n".join(line.rstrip(" ") for part in parts for line in part)


def _verdict(by_lead: dict[int, Skill]) -> Iterator[str]:
    """What the table says, in words that follow from it."""
    above = [f"{lead}" for lead, found in by_lead.items() if found.skill > 0]
    sure = [f"{lead}" for lead, found in by_lead.items() if found.low > 0]
    not_above = [f"{lead}" for lead, found in by_lead.items() if found.skill <= 0]
    yield f"The skill is above 0 at {', '.join(above)} days ahead, with all of its 95 % interval at"
    yield f"{', '.join(sure)} days."
    if not_above:
        yield f"At {', '.join(not_above)} days it is **not above 0**."
    doubtful = [lead for lead in above if lead not in sure]
    if doubtful:
        yield f"At {', '.join(doubtful)} days the interval touches 0: so far ahead the chances are"
        yield "all but climatology. They do no harm, but nobody should read more into them."


def _leads(by_lead: dict[int, Skill]) -> Iterator[str]:
    yield (
        "| days ahead | predictions | places × years | Brier score | of climatology "
        "| skill (95 %) |"
    )
    yield "|---|---|---|---|---|---|"
    for lead, s in by_lead.items():
        yield f"| {lead} | {s.cases:,} | {s.trials} | {s.brier:.4f} | {s.usual:.4f} | {_said(s)} |"


def _table(cases: Cases, names: Sequence[str], chosen: Callable[[int], Values]) -> Iterator[str]:
    yield "| | predictions | " + " | ".join(f"{lead} days" for lead in LEADS) + " |"
    yield "|---|---|" + "---|" * len(LEADS)
    for i, name in enumerate(names):
        part = cases[chosen(i)]
        found = [skill(part[part["lead"] == lead]) for lead in LEADS]
        yield f"| {name} | {len(part):,} | " + " | ".join(map(_said, found)) + " |"


def _said(found: Skill) -> str:
    return f"{found.skill:+.3f} ({found.low:+.3f} to {found.high:+.3f})"


def bins(cases: Cases) -> Iterator[tuple[str, int, float, float]]:
    """Name, count, mean chance and observed share of each bin of ten that holds a prediction."""
    which = np.clip(np.digitize(cases["chance"], EDGES[1:-1]), 0, 9)
    for b in range(10):
        part = cases[which == b]
        if len(part):
            name = f"{100 * EDGES[b]:.0f}–{100 * EDGES[b + 1]:.0f} %"
            yield name, len(part), float(part["chance"].mean()), float(part["came"].mean())


def _reliability(cases: Cases, lead: int) -> Iterator[str]:
    part = cases[cases["lead"] == lead]
    yield "| chance said | predictions | mean chance | was open |"
    yield "|---|---|---|---|"
    for name, count, chance, came in bins(part):
        yield f"| {name} | {count:,} | {100 * chance:.0f} % | {100 * came:.0f} % |"


def _shrinking(cases: Cases) -> Iterator[str]:
    """The best weight of the chances against climatology, fitted without the year judged."""
    yield "| days ahead | weight of our chances, fitted | skill as they are | skill with it |"
    yield "|---|---|---|---|"
    for lead in LEADS:
        part = cases[cases["lead"] == lead]
        usual, off = part["usual"], part["chance"] - part["usual"]
        mixed = [np.clip(usual + w * off, 0.0, 1.0) for w in WEIGHTS]
        scores = np.array([brier_by_year(part, said)[1] for said in mixed])
        years = brier_by_year(part, usual)[0]
        best = (scores.sum(axis=1, keepdims=True) - scores).argmin(axis=0)
        at = best[np.searchsorted(years, part["year"])]
        said = np.asarray(mixed)[at, np.arange(len(part))]
        low, high = WEIGHTS[best.min()], WEIGHTS[best.max()]
        weights = f"{low:.1f}" if low == high else f"{low:.1f} to {high:.1f}"
        yield f"| {lead} | {weights} | {_said(skill(part))} | {_said(skill(part, said))} |"


SIZE, GAP, LEFT, TOP = 200, 70, 62, 56
INK, PALE, ACCENT = "#26302b", "#c9cec9", "#2f6b4f"


def picture(cases: Cases) -> str:
    """Reliability: for each lead, what came against what was said. SVG."""
    width, height = LEFT + 2 * (SIZE + GAP), TOP + 2 * (SIZE + GAP + 10)
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" '
        f'width="{width}" height="{height}" role="img" aria-labelledby="t d" '
        'font-family="system-ui, sans-serif" font-size="12">',
        '<title id="t">Reliability of the chance that a window is open</title>',
        f'<desc id="d">{_described(cases)}</desc>',
        f'<rect width="{width}" height="{height}" fill="#ffffff"/>',
        f'<text x="{LEFT}" y="22" font-size="15" fill="{INK}">How often a window was open, '
        "against the chance said</text>",
    ]
    for i, lead in enumerate(LEADS):
        left = LEFT + (i % 2) * (SIZE + GAP)
        top = TOP + (i // 2) * (SIZE + GAP + 10)
        lines += _panel(cases[cases["lead"] == lead], lead, left, top)
    return "\n".join([*lines, "</svg>"]) + "\n"


def _described(cases: Cases) -> str:
    said = []
    for lead in LEADS:
        part = cases[cases["lead"] == lead]
        points = (
            f"{100 * c:.0f} % said, {100 * o:.0f} % came" for _, n, c, o in bins(part) if n >= FEW
        )
        said.append(f"{lead} days ahead: {'; '.join(points)}.")
    return " ".join(said)


def _panel(cases: Cases, lead: int, left: int, top: int) -> Iterator[str]:
    bottom, right = top + SIZE, left + SIZE
    yield f'<text x="{left}" y="{top - 8}" fill="{INK}">{lead} days ahead</text>'
    for share in (0.0, 0.5, 1.0):
        x, y = left + SIZE * share, bottom - SIZE * share
        yield f'<path d="M{left} {y:.0f}H{right}M{x:.0f} {top}V{bottom}" stroke="{PALE}"/>'
        yield (
            f'<text x="{left - 8}" y="{y + 4:.0f}" text-anchor="end" fill="{INK}">'
            f"{100 * share:.0f} %</text>"
        )
        yield (
            f'<text x="{x:.0f}" y="{bottom + 18}" text-anchor="middle" fill="{INK}">'
            f"{100 * share:.0f} %</text>"
        )
    yield f'<path d="M{left} {bottom}L{right} {top}" stroke="{INK}" stroke-dasharray="4 4"/>'
    yield (
        f'<text x="{left + SIZE / 2:.0f}" y="{bottom + 36}" text-anchor="middle" fill="{INK}">'
        "chance said</text>"
    )
    most = max(count for _, count, _, _ in bins(cases))
    for _, count, chance, came in bins(cases):
        if count >= FEW:
            radius = 2.5 + 7.0 * (count / most) ** 0.5
            yield (
                f'<circle cx="{left + SIZE * chance:.1f}" cy="{bottom - SIZE * came:.1f}" '
                f'r="{radius:.1f}" fill="{ACCENT}" fill-opacity="0.75"/>'
            )


_INTRODUCTION = """# Chances of an open window: do they hold?

Written by `docs/validation/chances.py`; do not edit by hand.

The program says with what chance a window is open on a day to come: this year's weather so far,
then the rest of the season from each other year of the place's record, the window read off each,
and the share of them in which it is open. Here each past year is predicted so, without its own
days to come, and then looked up.

- Records: {places}
  (tests/data/weather, 31 to 40 years each).
- Windows: overseeding, thatch removal, core aeration, dormant and spring seeding, for Kentucky
  bluegrass and tall fescue; a window whose limits are the same for both stands once.
- For each season year: every seventh day is asked about from 0, 14, 28 and 56 days before, with
  `exclude_year` and `later_years_too`, so the other years are both earlier and later ones. In use
  only earlier years are there, so a young record has fewer members than these.
- What came: the window as it lies in the whole record, that year's own later weather included.
- Climatology: the share of the other years in which the window was open on that calendar day. It
  is what a calendar made from the same record would say.
- Scored only where climatology lies between {sure:.0f} and {all_but:.0f} %: on other days any
  calendar is right.
- Days of one year are alike, so scores are first averaged over a place's year. Skill is 1 minus
  the ratio of the mean Brier scores (Brier 1950, *Monthly Weather Review* 78: 1–3); above 0 beats
  climatology, 1 is perfect. Intervals: {draws} bootstrap draws of calendar years, all places of a
  year together, because neighbours share their weather.
"""

_RELIABILITY = """## Reliability

Of all days given a chance of about 30 %, the window should be open on about 30 %. Circles on the
broken line are right; their area grows with the number of predictions; bins of fewer than 30 are
left out of the picture. The tables have the same numbers.

![Chance said against share that came, four panels](chances.svg)"""

_SHRINKING = """## Would leaning toward climatology help?

The chance said could be pulled toward climatology (weight under 1) or away from it (over 1). The
weight is fitted for each year on the other years.
"""

_CLOSE = """If the right-hand column is no better than the one before it, the chances are left as
they are, and nothing is fitted: that is what the program does.

Tried once and not kept (not in the script): giving more weight to years whose last 30 or 90 days
were like this year's lowered the skill, the more so the sharper the weights (56 days: by 0.06 with
a spread of 0.7 °C over 30 days, by less than 0.001 with 3 °C); giving more weight to years near in
time (falling to 1/e over 20 or 40 years) changed it by less than 0.005 at every lead.

## Why not more

- **Today is uncertain too.** Most windows close by what is still to come (growing warmth left, days
  to heat, days to cold soil), and that is not known on the day. Dormant seeding looks only back,
  and is known on the day.
- **What carries over is memory of the soil and of what has already happened**: the peak has passed,
  a window has opened. Within two months that is used up; the rest of the season is drawn from other
  years without regard to how this one began. A weather forecast adds its own days in use; none is
  used here, since no archive of past forecasts is at hand.
- The records are few and the years of neighbouring places alike: four places, some forty years.
- Clemson's 45 missing days are filled, some of them from other years; that touches two years.
"""
