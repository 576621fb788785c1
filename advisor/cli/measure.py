"""`advisor measure`: what to find out about a lawn, the most worthwhile first."""

from __future__ import annotations

import typer

from advisor.cli.options import AsJson, On, SiteFolder


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command()(measure)


def measure(site: SiteFolder, on: On = None, as_json: AsJson = False) -> None:
    """What to measure, the most worthwhile first, and how to take it with what a household has."""
    from advisor.cases.open_folder import open_case
    from advisor.render.digest.measure import measure_json, measure_lines, to_find_out
    from advisor.render.digest.render import fold
    from advisor.rulebook.read_rulebook import read_rulebook

    case = open_case(site, read_rulebook(), on)
    question, found = to_find_out(case)
    if as_json:
        import json

        data = measure_json(question, found, case)
        typer.echo(json.dumps(data, ensure_ascii=False, indent=2))
        return
    for bullet, text in measure_lines(question, found):
        typer.echo(fold(text, bullet))
