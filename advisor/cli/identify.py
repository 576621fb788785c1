"""`advisor identify`: which grass is it?"""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from advisor.base.problems import BadInput
from advisor.cli.options import AsJson

if TYPE_CHECKING:
    from advisor.rulebook.key import Character


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command()(identify)


def identify(
    given: Annotated[
        str,
        typer.Option(
            "--answers",
            metavar="TEXT",
            help="Ask nothing; answers such as 'bud=folded, tip=boat, ligule=?'.",
        ),
    ] = "",
    sources: Annotated[bool, typer.Option("--why", help="Show what the key rests on.")] = False,
    as_json: AsJson = False,
) -> None:
    """Name the grass of a lawn: one question at a time, and "I cannot tell" is an answer too."""
    from advisor.answers.identify import find, key_of, read_answers
    from advisor.answers.identify_text import (
        finding_json,
        finding_lines,
        question_lines,
        source_lines,
    )
    from advisor.render.digest.render import fold
    from advisor.rulebook.read_rulebook import read_rulebook

    book = read_rulebook()
    key = key_of(book)
    answers = read_answers(key, given)
    finding = find(key, answers)
    if not given and not as_json:
        while finding.next is not None:
            for bullet, text in question_lines(finding.next):
                typer.echo(fold(text, bullet))
            answers[finding.next.id] = _ask(finding.next)
            finding = find(key, answers)
            typer.echo("")
    if as_json:
        import json

        data = finding_json(answers, finding, book, key)
        typer.echo(json.dumps(data, ensure_ascii=False, indent=2))
        return
    lines = [*finding_lines(finding, book, key), *(source_lines(finding, key) if sources else ())]
    for bullet, text in lines:
        typer.echo(fold(text, bullet))


def _ask(character: Character) -> str:
    """An answer that the key understands; what it does not is asked again."""
    from advisor.answers.identify import read_state

    while True:
        try:
            return read_state(character, typer.prompt("Which", default="?"))
        except BadInput as error:
            typer.echo(error.problems[0].what)
