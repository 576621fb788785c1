"""`advisor rules`: look at the rule book and check it."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from advisor.base.files import write_whole
from advisor.cli.options import AsJson, On

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
    from advisor.decide.verdicts.example_judge import EngineExampleJudge
    from advisor.rulebook.prove import check_examples
    from advisor.rulebook.read_rulebook import read_rulebook

    book = read_rulebook(folder, cache=False)
    check_examples(book, EngineExampleJudge(book.vocabulary))
    count = sum(len(operation.examples) for operation in book.operations.values())
    typer.echo(
        f"{len(book.operations)} operations, {len(book.programmes)} programmes, "
        f"{len(book.grasses)} grasses, {count} examples: all come out as written. "
        f"Rule book {book.hash}."
    )


@rules.command("show")
def show_rules(
    name: Annotated[
        str,
        typer.Argument(metavar="OPERATION", help="An operation, or a grass.", show_default=False),
    ],
    page: Annotated[
        Path | None, typer.Option("--html", metavar="FILE", help="Write the page to this file.")
    ] = None,
) -> None:
    """Everything that is known about one job, or one grass, as a page to read."""
    from advisor.rulebook.pages.page import as_html, as_text
    from advisor.rulebook.pages.whole import page_of
    from advisor.rulebook.read_rulebook import read_rulebook

    shown = page_of(name, read_rulebook())
    if page is not None:
        write_whole(page, as_html(shown))
    else:
        typer.echo(as_text(shown), nl=False)


@rules.command("examples")
def rules_examples(
    operation: Annotated[
        str, typer.Argument(help="Of one operation only.", show_default="all")
    ] = "",
) -> None:
    """The inline examples that prove the rule files; `rules check` runs them."""
    from advisor.rulebook.pages.examples import example_lines, operations_named
    from advisor.rulebook.read_rulebook import read_rulebook

    book = read_rulebook()
    for shown in operations_named(operation, book):
        for line in example_lines(shown, book):
            typer.echo(line)


@rules.command("stale")
def rules_stale(
    on: On = None,
    years: Annotated[float, typer.Option(min=0.0, help="How many years are too many.")] = 2.0,
    as_json: AsJson = False,
) -> None:
    """Published evidence that nobody has read again for years."""
    from advisor.base.dates import today
    from advisor.rulebook.pages.stale import stale_json, stale_lines
    from advisor.rulebook.read_rulebook import read_rulebook
    from advisor.rulebook.stale import stale

    book, day = read_rulebook(), on or today()
    found = stale(book, day, years)
    if as_json:
        _echo_json(book.hash, stale_json(found, day, years))
        return
    for line in stale_lines(found, day, years):
        typer.echo(line)


@rules.command("coverage")
def rules_coverage(as_json: AsJson = False) -> None:
    """What there is, what the limits rest on, and which job reads which fact."""
    from advisor.rulebook.coverage import coverage
    from advisor.rulebook.pages.coverage_text import coverage_lines
    from advisor.rulebook.read_rulebook import read_rulebook

    book = read_rulebook()
    found = coverage(book)
    if as_json:
        _echo_json(book.hash, found.as_json())
        return
    for line in coverage_lines(found):
        typer.echo(line)


def _echo_json(hash: str, data: dict[str, Any]) -> None:
    import json

    typer.echo(json.dumps({"format": 1, "rulebook": hash, **data}, ensure_ascii=False, indent=2))
