"""`advisor new` and `advisor check`: begin a site's folder, and see whether it reads."""

from __future__ import annotations

from typing import Annotated

import typer

from advisor.cli.options import SiteFolder


def register(app: typer.Typer) -> None:
    """Add the commands."""
    app.command()(new)
    app.command()(check)


def new(
    site: SiteFolder,
    latitude: Annotated[float, typer.Option(prompt="Latitude in degrees, north is positive")],
    longitude: Annotated[float, typer.Option(prompt="Longitude in degrees, east is positive")],
    grass: Annotated[str, typer.Option(prompt="Grass (dont_know if you are not sure)")],
    size: Annotated[str, typer.Option(prompt="Size of the lawn, such as 3000 ft2 or 280 m2")],
    name: Annotated[str, typer.Option(help="What you call it.")] = "My lawn",
    units: Annotated[str, typer.Option(help="us or metric.")] = "",
    town: Annotated[str, typer.Option(help="The place's name.")] = "",
    time_zone: Annotated[str, typer.Option(help="Such as America/New_York.")] = "",
    country: Annotated[str, typer.Option(help="Two letters, such as US.")] = "",
) -> None:
    """Begin a site: asks where, which grass and how big. Writes site.yaml and journal.csv."""
    from advisor.base.dates import today
    from advisor.base.problems import BadInput, Place
    from advisor.rulebook.read_rulebook import read_rulebook
    from advisor.site.new_site import Answers, write_new_site

    if units not in ("", "us", "metric"):
        raise BadInput.at(Place("--units"), f"'{units}' is not one of us, metric")
    answers = Answers(
        latitude=latitude,
        longitude=longitude,
        size=size,
        grass=grass.strip().lower().replace(" ", "_"),
        name=name,
        units="us" if units == "us" or (not units and _in_us_units(size)) else "metric",
        town=town,
        time_zone=time_zone,
        country=country,
    )
    write_new_site(site, answers, read_rulebook().grasses, today())
    typer.echo(f"Wrote {site / 'site.yaml'} and {site / 'journal.csv'}.")
    typer.echo("Next: put a daily weather file there as weather.csv, then 'advisor week'.")


def _in_us_units(size: str) -> bool:
    """Whether a size was written in feet or acres; the keeper's own units are shown back."""
    return any(unit in size.lower() for unit in ("f", "ac", "y"))


def check(site: SiteFolder) -> None:
    """Read all files of a site and say what stands in them."""
    from advisor.answers.lawn import default_day, open_lawn
    from advisor.answers.weather_line import weather_line
    from advisor.base.units import show
    from advisor.rulebook.read_rulebook import read_rulebook

    lawn = open_lawn(site, read_rulebook())
    size = show(lawn.site.total_area, "m2", lawn.site.unit_system)
    typer.echo(f"{lawn.site.name}: {len(lawn.site.areas)} area(s), {size}.")
    typer.echo(f"Journal: {len(lawn.journal.standing)} records.")
    typer.echo(weather_line(lawn, default_day(lawn)))
