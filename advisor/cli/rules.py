"""`advisor rules`: look at the rule book and check it."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from advisor.cli.options import AsJson

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


@rules.command("coverage")
def rules_coverage(as_json: AsJson = False) -> None:
    """How many operations, grasses and examples there are, and what the limits rest on."""
    import json

    from advisor.rulebook.coverage import coverage
    from advisor.rulebook.read_rulebook import read_rulebook

    book = read_rulebook()
    found = coverage(book)
    if as_json:
        data = {"format": 1, "rulebook": book.hash, **found.as_json()}
        typer.echo(json.dumps(data, ensure_ascii=False, indent=2))
        return
    for name in ("operations", "grasses", "examples", "facts", "sources", "cautions"):
        typer.echo(f"{getattr(found, name):6}  {name}")
    typer.echo(f"{found.limits:6}  limits that decide a verdict, of which")
    for kind, count in found.evidence.items():
        typer.echo(f"{count:6}    {kind.replace('_', ' ')}")
