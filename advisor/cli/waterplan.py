"""`advisor waterplan`: a timetable for the sprinklers, and how to measure what they give."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Annotated

import typer
from typer.core import TyperGroup

from advisor.base.files import write_whole
from advisor.cli.options import AsJson, On, SiteFolder, as_date


class _SiteFirst(TyperGroup):
    """`waterplan SITE` is short for `waterplan timetable SITE`."""

    def parse_args(self, ctx, args):  # type: ignore[no-untyped-def]
        if args and args[0] not in self.commands and args[0] not in ("--help",):
            args = ["timetable", *args]
        return super().parse_args(ctx, args)


group = typer.Typer(
    cls=_SiteFirst,
    help="When each zone runs: waterplan SITE. Measure a zone: waterplan cans, waterplan flow.",
    no_args_is_help=True,
    rich_markup_mode=None,
)


def register(app: typer.Typer) -> None:
    """Add the commands."""
    app.add_typer(group, name="waterplan")


def _clock(text: str) -> int:
    try:
        found = dt.time.fromisoformat(text)
    except ValueError:
        raise typer.BadParameter(f"'{text}' is no time of day; write 04:30") from None
    return found.hour * 60 + found.minute


@group.command()
def timetable(
    site: SiteFolder,
    on: On = None,
    sown: Annotated[
        dt.date | None,
        typer.Option("--from", metavar="DATE", parser=as_date, help="A sowing not yet on record."),
    ] = None,
    days: Annotated[int, typer.Option(help="How many days, 1 to 60.")] = 7,
    after: Annotated[str, typer.Option(help="No run before this time.")] = "00:00",
    before: Annotated[str, typer.Option(help="The morning's runs end by then.")] = "10:00",
    csv: Annotated[bool, typer.Option("--csv", help="A row for each run.")] = False,
    ics: Annotated[Path | None, typer.Option(help="Write a calendar to this file.")] = None,
    as_json: AsJson = False,
) -> None:
    """Which zone runs when and for how long, for seed and for grown turf."""
    from advisor.cases.open_folder import open_case
    from advisor.planning.waterplan import compose_waterplan
    from advisor.render.sheets.waterplan_pages import waterplan_csv, waterplan_json, waterplan_text
    from advisor.rulebook.read_rulebook import read_rulebook

    case = open_case(site, read_rulebook(), on)
    hours = (_clock(after), _clock(before))
    plan = compose_waterplan(case, days, sown, hours)
    if ics is not None:
        from advisor.render.yearly.calendar_file import timed_bytes
        from advisor.render.yearly.water_calendar import water_events

        raw = timed_bytes(f"{case.site.name}: water", water_events(plan))
        write_whole(ics, raw, reads=[site])
    if as_json:
        import json

        typer.echo(json.dumps(waterplan_json(plan), ensure_ascii=False, indent=2))
    elif csv:
        typer.echo(waterplan_csv(plan), nl=False)
    elif ics is None:
        typer.echo(waterplan_text(plan), nl=False)


@group.command()
def cans(
    catches: Annotated[
        list[str], typer.Argument(help="What each can caught: '6 mm', '1/4 in', or '20 ml'.")
    ],
    minutes: Annotated[float, typer.Option(help="How long the sprinklers ran.")] = 15,
    size: Annotated[
        str | None, typer.Option(help="Width of the can's mouth, where volumes are given: '8 cm'.")
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Precipitation rate and evenness of a zone, from cans set out under its sprinklers."""
    from advisor.render.sheets.audit_text import cans_json, cans_text

    typer.echo((cans_json if as_json else cans_text)(catches, minutes, size), nl=False)


@group.command()
def flow(
    per_minute: Annotated[str, typer.Option(help="What the zone takes a minute: '10 gal'.")],
    area: Annotated[str, typer.Option(help="What it waters: '1000 ft2'.")],
) -> None:
    """Precipitation rate of a zone from the water meter."""
    from advisor.render.sheets.audit_text import flow_text

    typer.echo(flow_text(per_minute, area), nl=False)
