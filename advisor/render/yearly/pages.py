"""The year as text and as one self-contained page: everything a renderer shows, in words."""

from __future__ import annotations

from advisor.advice.gates import of_plan
from advisor.answers.reasons import cited
from advisor.answers.words import in_ten
from advisor.base.dates import say_date
from advisor.base.record import Record
from advisor.base.units import System, show
from advisor.planning.plan_words import GateLine, gate_lines, plan_lines
from advisor.render.digest.render import render
from advisor.render.digest.view import week_gates
from advisor.render.digest.week import NO_WEATHER, Week, compose_week
from advisor.render.yearly.place_words import date_lines, growing_lines
from advisor.render.yearly.rows import Row, basis_words, months_of, rows_of
from advisor.render.yearly.soil_chart import soil_year
from advisor.render.yearly.soil_drawing import draw, limit_lines, soil_rows, soil_sentence
from advisor.render.yearly.verdict_lines import verdict_groups
from advisor.render.yearly.water import WaterWeek, water_weeks
from advisor.render.yearly.year import Year
from advisor.signals.soil_temperature import soil_coefficients

FROSTS = ("first_freeze", "last_freeze")
SOILS = ("soil_under", "soil_over")
_LABEL = 24
_BAR_STEPS = 20


class WaterLine(Record, frozen=True):
    """A week's water in words; *_bar: lengths in twentieths of the longest."""

    week: str
    rain: str
    watered: str
    used: str
    left: str
    rain_bar: int
    used_bar: int


def year_text(year: Year) -> str:
    """The year as text: weeks across, operations down, then dates, frosts and soil."""
    rows = rows_of(year)
    return render(
        "year.txt",
        year=year,
        site=year.case.site.name,
        on=say_date(year.on) + f" {year.on.year}",
        note=basis_note(year),
        heading=_month_line(year),
        week=year.case.command("week"),
        lines=[(_label(*row.short), _weeks_line(row)) for row in rows],
        rows=rows,
        gate_lines=_gates(year),
        plan=_plan(year),
        growing=[line for line in growing_lines(year) if line],
        frosts=date_lines(year, FROSTS),
        soils=date_lines(year, SOILS),
        cautions=_cautions(year),
    )


def _plan(year: Year) -> tuple[str, ...]:
    return plan_lines(year.advice)


def _gates(year: Year, week: Week | None = None) -> tuple[GateLine, ...]:
    """The gates of the kept plan, and of the week's work where that is shown."""
    if week is not None:
        return gate_lines(week_gates(week), year.case)
    return gate_lines(of_plan(year.advice.gates, year.advice.plan), year.case)


def year_html(year: Year) -> str:
    """The year page: no network, and no script."""
    units = year.case.site.unit_system
    week = compose_week(year.case)
    soil = soil_year(year)
    return render(
        "year.html",
        site=year.case.site.name,
        on=f"{say_date(year.on)} {year.on.year}",
        lead=week.lead,
        gate_lines=_gates(year, week),
        plan=_plan(year),
        groups=verdict_groups(week),
        cautions=_cautions(year),
        note=basis_note(year),
        rows=rows_of(year),
        months=months_of(year.weeks),
        month_starts=_month_starts(year),
        weeks=[say_date(day) for day in year.weeks],
        in_ten=in_ten,
        soil=soil,
        soil_says=soil_sentence(soil, units) if soil else "",
        drawing=draw(soil, units) if soil else None,
        limits=limit_lines(soil, units) if soil else (),
        band=_band(soil.band, units) if soil and soil.band else "",
        soil_error=_soil_error(year),
        soil_rows=list(soil_rows(soil, units)) if soil else [],
        degrees="°F" if units == "us" else "°C",
        water_says=week.water,
        water=_water_lines(water_weeks(year), units),
        growing=[line for line in growing_lines(year) if line],
        frosts=date_lines(year, FROSTS),
        soils=date_lines(year, SOILS),
        weather=year.weather,
        law=year.law,
        forbidden=year.forbidden,
        sources=cited(reason for answer in week.answers for reason in answer.told),
    )


def basis_note(year: Year) -> str:
    """What the chances rest on, and how far to trust them."""
    if year.basis is None:
        return NO_WEATHER
    if year.basis == "normals":
        known = basis_words(year.advice, year.years)
        return f"No years of weather to count here, only {known}: each date is one rough guess."
    if year.basis == "observed":
        return (
            "The weather record is too short to borrow other years from, so seasons to come have "
            "no dates yet. A longer daily record, or monthly normals (normals.csv), would give "
            "them. What has been observed so far is used."
        )
    meant = "a week counts as open if the season is open on most of its days"
    if year.rough:
        years = "year of weather stands" if year.years == 1 else "years of weather stand"
        return f"Rough: only {year.years} {years} behind these chances; {meant}."
    return f"Chances count {year.years} years of weather here; {meant}."


def _month_line(year: Year) -> str:
    """Month names over the columns of the weeks; a month of fewer than three weeks has no room."""
    return "".join(month.name[:3].ljust(month.weeks)[: month.weeks] if month.weeks > 2
                   else " " * month.weeks for month in months_of(year.weeks)).rstrip()  # fmt: skip


def _month_starts(year: Year) -> frozenset[int]:
    """The columns in which a month begins."""
    starts, at = [], 0
    for month in months_of(year.weeks):
        starts.append(at)
        at += month.weeks
    return frozenset(starts)


def _weeks_line(row: Row) -> str:
    signs = ("·", *"123456789", "#")
    return "".join("?" if tenths is None else signs[tenths] for tenths in row.tenths)


def _label(name: str, tail: str) -> str:
    """A title in the width of the label; the name gives way before its season or area."""
    room = max(_LABEL - len(tail), 8)
    short = name if len(name) <= room else name[: room - 1].rstrip() + "…"
    return (short + tail)[:_LABEL]


def _cautions(year: Year) -> list[str]:
    """The short cautions of all work that the year shows, each once."""
    book = year.case.book
    ids = dict.fromkeys(id for window in year.windows for id in window.operation.safety)
    return [book.cautions[id].short for id in ids]


def _band(band: tuple[float, float], units: System) -> str:
    low, high = (show(limit, "°C", units) for limit in band)
    return f"The band from {low} to {high} is the soil in which grass seed sprouts best."


def _soil_error(year: Year) -> str:
    """The error of the soil model where it was tried, not fitted."""
    climate = year.facts.lawn.climate if year.facts else "humid"
    return show(soil_coefficients(10, climate).rmse_c, "Δ°C", year.case.site.unit_system)


def _water_lines(weeks: tuple[WaterWeek, ...], units: System) -> list[WaterLine]:
    amounts = [mm for week in weeks for mm in (week.rain_mm, week.used_mm) if mm is not None]
    longest = max(amounts, default=0.0) or 1.0

    def said(value: float | None, unit: str = "mm") -> str:
        return "not known" if value is None else show(value, unit, units)

    def bar(value: float | None) -> int:
        return round((value or 0.0) / longest * _BAR_STEPS)

    return [
        WaterLine(
            week=say_date(week.last),
            rain=said(week.rain_mm),
            watered=said(week.watered_mm) if week.watered_mm else "none",
            used=said(week.used_mm),
            left=said(week.left, "share"),
            rain_bar=bar(week.rain_mm),
            used_bar=bar(week.used_mm),
        )
        for week in weeks
    ]
