"""All pages of docs/rules, and one page by its name."""

from __future__ import annotations

from advisor.base.problems import BadInput, Place, did_you_mean
from advisor.rulebook.model import RuleBook
from advisor.rulebook.pages.grass import grass_page
from advisor.rulebook.pages.operation import operation_page
from advisor.rulebook.pages.overview import coverage_page, disagreements_page, index_page
from advisor.rulebook.pages.page import Page, as_markdown


def page_of(name: str, book: RuleBook) -> Page:
    """The page of an operation or a grass. Raises `BadInput` for a name that has no rule file."""
    if name in book.operations:
        return operation_page(book.operations[name], book)
    if name in book.grasses:
        return grass_page(book.grasses[name], book)
    known = (*book.operations, *book.grasses)
    hint = did_you_mean(name, known) or f"; known: {', '.join(known)}"
    raise BadInput.at(Place("the rule book"), f"no rule file for '{name}'{hint}")


def all_pages(book: RuleBook) -> dict[str, str]:
    """File name → Markdown of every page of docs/rules."""
    pages = {
        "README.md": index_page(book),
        "coverage.md": coverage_page(book),
        "disagreements.md": disagreements_page(book),
        **{f"{id}.md": operation_page(o, book) for id, o in book.operations.items()},
        **{f"grass_{id}.md": grass_page(g, book) for id, g in book.grasses.items()},
    }
    return {name: as_markdown(page) for name, page in pages.items()}
