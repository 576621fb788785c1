"""`advisor rules`: look at the rule book and check it."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

rules = typer.Typer(help="Look at the rule book and check it.", no_args_is_help=True)


def register(app: typer.Typer) -> None:
    """Add the group."""
    app.add_typer(rules, name="rules")


@rules.command("list")
def list_rules() -> None:
    """The operations and grasses that have a rule file."""
    from advisor.rulebook.read_rulebook import read_rulebook

    book = read_rulebook()
    for operation in book.operations.values():
        typer.echo(f"{operation.id:20} {operation.title}")
    for grass in book.grasses.values():
        typer.echo(f"{grass.id:20} {grass.title} (grass)")


@rules.command("check")
def check_rules(
    folder: Annotated[
        Path | None,
        typer.Argument(help="A folder of rule files.", show_default="the packaged ones"),
    ] = None,
) -> None:
    """Read every rule file, run its examples, and see that each condition decides one."""
    from advisor.rulebook.prove import check_examples
    from advisor.rulebook.read_rulebook import read_rulebook
    from advisor.verdicts.example_judge import EngineExampleJudge

    book = read_rulebook(folder, cache=False)
    judge, trials = (EngineExampleJudge(book.vocabulary, plain=plain) for plain in (False, True))
    check_examples(book, judge, trials)
    count = sum(len(operation.examples) for operation in book.operations.values())
    typer.echo(
        f"{len(book.operations)} operations, {len(book.grasses)} grasses, {count} examples: "
        f"all come out as written. Rule book {book.hash}."
    )
