"""`advisor week`: the digest."""

from __future__ import annotations

import typer

from advisor.cli.options import AsJson, On, SiteFolder


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command()(week)


def week(site: SiteFolder, on: On = None, as_json: AsJson = False) -> None:
    """What to do this week, what to leave alone, and what is coming."""
    from advisor.answers.lawn import default_day, open_lawn
    from advisor.digest.week import compose_week
    from advisor.rulebook.read_rulebook import read_rulebook

    lawn = open_lawn(site, read_rulebook())
    composed = compose_week(lawn, on or default_day(lawn))
    if as_json:
        import json

        from advisor.digest.week_json import week_json

        typer.echo(json.dumps(week_json(composed, lawn), ensure_ascii=False, indent=2))
        return
    from advisor.digest.render import week_text

    typer.echo(week_text(composed), nl=False)
