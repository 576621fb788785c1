"""`advisor new` and `advisor check`: begin a site's folder, and see whether it reads."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from advisor.cli.options import SiteFolder

if TYPE_CHECKING:
    from advisor.places.town import Spot

_DONT_KNOW = {"", "?", "unknown", "not_sure", "im_not_sure", "no_idea", "dont_know", "i_dont_know"}


def register(app: typer.Typer) -> None:
    """Add the commands."""
    app.command()(new)
    app.command()(check)


def new(
    site: SiteFolder,
    where: Annotated[str | None, typer.Option(help="Town, postcode or degrees.")] = None,
    latitude: Annotated[float | None, typer.Option(help="Degrees, north is positive.")] = None,
    longitude: Annotated[float | None, typer.Option(help="Degrees, east is positive.")] = None,
    grass: Annotated[str | None, typer.Option(help="The main grass, or dont_know.")] = None,
    size: Annotated[str | None, typer.Option(help="Such as 3000 ft2 or 280 m2.")] = None,
    name: Annotated[str, typer.Option(help="What you call it.")] = "My lawn",
    units: Annotated[str, typer.Option(help="us or metric.")] = "",
    town: Annotated[str, typer.Option(help="The place's name.")] = "",
    time_zone: Annotated[str, typer.Option(help="Such as America/New_York.")] = "",
    country: Annotated[str, typer.Option(help="Two letters, such as US.")] = "",
    subdivision: Annotated[str, typer.Option(help="Its state or province, such as OH.")] = "",
) -> None:
    """Begin a site: asks where, which grass and how big. Writes site.yaml and journal.csv."""
    from advisor.base.commands import command, shell_folder
    from advisor.base.dates import today
    from advisor.base.problems import BadInput, Place
    from advisor.cli.where import told
    from advisor.records.new_site import Answers, write_new_site
    from advisor.records.words import UNKNOWN_GRASS, as_name
    from advisor.rulebook.read_rulebook import read_rulebook
    from advisor.weather.kept_weather import TO_FETCH

    if units not in ("", "us", "metric"):
        raise BadInput.at(Place("--units"), f"'{units}' is not one of us, metric")
    spot = _spot(where, latitude, longitude)
    typer.echo(told(spot))
    if grass is None:
        grass = typer.prompt('Which grass is it? ("don\'t know" is an answer too)')
    if size is None:
        size = typer.prompt("How big is the lawn? (such as 3000 ft2 or 280 m2)")
    named = as_name(grass)
    answers = Answers(
        latitude=spot.latitude,
        longitude=spot.longitude,
        size=size,
        grass=UNKNOWN_GRASS if named in _DONT_KNOW else named,
        name=name,
        units="us" if units == "us" or (not units and _in_us_units(size)) else "metric",
        town=town or spot.town,
        time_zone=time_zone or spot.time_zone,
        country=country or spot.country,
        # Another country than the one found has other parts.
        subdivision=subdivision or (spot.subdivision if country in ("", spot.country) else ""),
        elevation=spot.elevation,
    )
    book = read_rulebook()
    write_new_site(site, answers, book.grasses, today())
    typer.echo(f"Wrote {site / 'site.yaml'} and {site / 'journal.csv'}.")
    typer.echo(
        f"Next: put a daily weather file there as weather.csv; or {TO_FETCH} "
        f"'{command('weather', shell_folder(site))}'. Then "
        f"'{command('week', shell_folder(site))}' tells the week."
    )
    if answers.grass == UNKNOWN_GRASS:
        typer.echo(
            "The grass is open; 'advisor identify' helps to name it. Until then ask with "
            "--grass NAME and compare: "
            f"{', '.join(book.grasses)}. Then write it under 'stand' in site.yaml."
        )
        return
    from advisor.cases.open_folder import open_case
    from advisor.render.digest.question import next_question

    case = open_case(site, book)
    if question := next_question(case):
        typer.echo(question)


def _spot(where: str | None, latitude: float | None, longitude: float | None) -> Spot:
    """The place: what --where names, the degrees given, or else what the keeper answers."""
    from advisor.base.problems import BadInput, Place
    from advisor.cli.where import ask_where, only_place
    from advisor.places.around import around

    if latitude is None and longitude is None:
        return ask_where() if where is None else only_place(where)
    if where is not None:
        what = "gives the place already; leave --latitude and --longitude out"
        raise BadInput.at(Place("--where"), what)
    if latitude is None or longitude is None:
        missing = "--latitude" if latitude is None else "--longitude"
        raise BadInput.at(Place(missing), "is missing; give both, or --where")
    return around(latitude, longitude, "coordinates")


def _in_us_units(size: str) -> bool:
    """Whether a size was written in feet or acres; the keeper's own units are shown back."""
    return any(unit in size.lower() for unit in ("f", "ac", "y"))


def check(site: SiteFolder) -> None:
    """Read all files of a site and say what stands in them."""
    from advisor.answers.limit_note import noted_lines
    from advisor.answers.sources import weather_line
    from advisor.base.units import show
    from advisor.cases.open_folder import open_case
    from advisor.rulebook.read_rulebook import read_rulebook

    case = open_case(site, read_rulebook())
    total = case.site.total_area
    size = "of unknown size" if total is None else show(total, "m2", case.site.unit_system)
    typer.echo(f"{case.site.name}: {len(case.site.areas)} area(s), {size}.")
    typer.echo(f"Journal: {len(case.journal.standing)} records.")
    for line in noted_lines(case):
        typer.echo(line)
    typer.echo(weather_line(case))
