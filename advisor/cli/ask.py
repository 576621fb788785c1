"""`advisor ask`: a question about one operation."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from advisor.cli.options import AsJson, On, SiteFolder

if TYPE_CHECKING:
    from advisor.cases.case import Case


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command()(ask)


def ask(
    site: SiteFolder,
    question: Annotated[
        str, typer.Argument(help="In your own words: 'should I dethatch this year'.")
    ],
    on: On = None,
    area: Annotated[str, typer.Option(help="Ask about one area of the lawn.")] = "",
    grass: Annotated[str, typer.Option(help="Ask as if the lawn were of this grass.")] = "",
    why: Annotated[bool, typer.Option("--why", help="Show every comparison and source.")] = False,
    as_json: AsJson = False,
) -> None:
    """Answer a question about one job on the lawn."""
    from advisor.answers.consult import consult
    from advisor.cases.open_folder import open_case
    from advisor.planning.plan_words import gate_lines
    from advisor.rulebook.read_rulebook import read_rulebook

    case = open_case(site, read_rulebook(), on)
    if not grass and (whole := _of_programmes(case, question, area, as_json)):
        typer.echo(whole, nl=False)
        return
    consulted = consult(case, question, area=area, grass=grass)
    case = consulted.advice.case
    if consulted.intent == "week":
        from advisor.render.digest.edition import compose_edition, show

        typer.echo(show(compose_edition(case), "json" if as_json else "text"))
        return
    if as_json:
        import json

        from advisor.answers.to_json import answer_json

        data = answer_json(consulted.advice, consulted.answers[0], consulted.law)
        typer.echo(json.dumps(data, ensure_ascii=False, indent=2))
        return
    from advisor.render.digest.render import answer_text

    amounts_first = consulted.intent in ("how_much", "how_long")
    shown = [
        answer_text(
            a,
            case.book,
            consulted.weather,
            consulted.law,
            why=why,
            units=case.site.unit_system,
            amounts_first=amounts_first,
            gates=gate_lines(consulted.advice.gates_of(a.item), case),
        )
        for a in consulted.answers
    ]
    for note in consulted.notes:
        typer.echo(f"{note}\n")
    typer.echo(f"\n{'-' * 78}\n\n".join(shown), nl=False)


def _of_programmes(case: Case, question: str, area: str, as_json: bool) -> str:
    """The answer about the programmes that a question names; empty if the lawn is in none."""
    from advisor.answers.programme_asked import programmes_asked

    named = programmes_asked(question, case.book.programmes, case.book.asked_as)
    if not named:
        return ""
    from advisor.advice.book import Advice
    from advisor.planning.programme_report import report_of
    from advisor.render.sheets.programme_pages import programme_json, programme_text

    found = report_of(Advice(case), named, question, area=area)
    if found is None:
        return ""
    if as_json:
        import json

        return json.dumps(programme_json(found), ensure_ascii=False, indent=2) + "\n"
    return programme_text(found)
