"""A page as plain blocks, and the same page as Markdown, as text for a terminal, and as HTML.

Texts may hold Markdown links, `[words](target)`; the terminal shows their words only.
"""

from __future__ import annotations

import html
import re
from collections.abc import Iterator

from advisor.base.commands import wrapped
from advisor.base.record import Record

WIDTH = 78
_LINK = re.compile(r"\[([^\]]+)\]\(([^)\s]+)\)")
_STYLE = (
    "body{font:16px/1.5 system-ui,sans-serif;max-width:60rem;margin:2rem auto;padding:0 1rem;"
    "color:#222;background:#fff}table{border-collapse:collapse;margin:1rem 0}"
    "th,td{border:1px solid #ccc;padding:.25rem .5rem;text-align:left;vertical-align:top}"
    "h1,h2,h3{line-height:1.2}"
)


class Heading(Record, frozen=True):
    """level: 2 or 3."""

    text: str
    level: int = 2


class Text(Record, frozen=True):
    """One paragraph."""

    text: str


class Items(Record, frozen=True):
    """A list; each item has its depth (0 is outermost) and its text."""

    items: tuple[tuple[int, str], ...]


class Table(Record, frozen=True):
    """A head and rows of as many cells."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


Block = Heading | Text | Items | Table


class Page(Record, frozen=True):
    """A title and blocks in order."""

    title: str
    blocks: tuple[Block, ...]


def as_markdown(page: Page) -> str:
    """The page for docs/."""
    parts = [f"# {_escaped(page.title)}"]
    for block in page.blocks:
        if isinstance(block, Heading):
            parts.append(f"{'#' * block.level} {_escaped(block.text)}")
        elif isinstance(block, Text):
            parts.append(_escaped(block.text))
        elif isinstance(block, Items):
            parts.append("\n".join(f"{'  ' * d}- {_escaped(t)}" for d, t in block.items))
        else:
            rows = (block.head, ("---",) * len(block.head), *block.rows)
            parts.append("\n".join(f"| {' | '.join(map(_cell, row))} |" for row in rows))
    return "\n\n".join(parts) + "\n"


def as_text(page: Page) -> str:
    """The page for a terminal. A table becomes one indented block for each row."""
    parts = [f"{page.title.upper()}\n{'=' * min(len(page.title), WIDTH)}"]
    for block in page.blocks:
        if isinstance(block, Heading):
            parts.append(block.text.upper() if block.level == 2 else block.text)
        elif isinstance(block, Text):
            parts.append(_wrapped(block.text))
        elif isinstance(block, Items):
            parts.append("\n".join(_wrapped(t, f"{'  ' * d}- ") for d, t in block.items))
        else:
            parts.append("\n".join(_row(block.head, row) for row in block.rows))
    return "\n\n".join(parts) + "\n"


def as_html(page: Page) -> str:
    """The page as one HTML file: no script, nothing fetched."""
    body = "\n".join(line for block in page.blocks for line in _html(block))
    title = html.escape(page.title)
    return (
        f'<!doctype html>\n<html lang="en">\n<head><meta charset="utf-8"><title>{title}</title>\n'
        f"<style>{_STYLE}</style></head>\n<body>\n<h1>{title}</h1>\n{body}\n</body>\n</html>\n"
    )


def _html(block: Block) -> Iterator[str]:
    if isinstance(block, Heading):
        yield f"<h{block.level}>{_inline(block.text)}</h{block.level}>"
    elif isinstance(block, Text):
        yield f"<p>{_inline(block.text)}</p>"
    elif isinstance(block, Items):
        yield from _html_items(block)
    else:
        yield "<table><thead><tr>" + "".join(f"<th>{_inline(c)}</th>" for c in block.head)
        yield "</tr></thead><tbody>"
        for row in block.rows:
            yield "<tr>" + "".join(f"<td>{_inline(cell)}</td>" for cell in row) + "</tr>"
        yield "</tbody></table>"


def _html_items(block: Items) -> Iterator[str]:
    open_lists = 0
    for depth, text in block.items:
        if depth + 1 > open_lists:
            yield "<ul>"
            open_lists += 1
        else:
            yield "</li></ul>" * (open_lists - depth - 1) + "</li>"
            open_lists = depth + 1
        yield f"<li>{_inline(text)}"
    yield "</li></ul>" * open_lists


def _inline(text: str) -> str:
    return _LINK.sub(r'<a href="\2">\1</a>', html.escape(text, quote=True))


def _escaped(text: str) -> str:
    """Markdown's own marks, as far as rule files could hold them, lose their meaning."""
    return re.sub(r"([*`<])", r"\\\1", text)


def _cell(text: str) -> str:
    return text if text == "---" else _escaped(text).replace("|", "\\|") or " "


def _row(head: tuple[str, ...], row: tuple[str, ...]) -> str:
    """The first cell as a heading, the others below it, each with the name of its column."""
    told = [_wrapped(row[0])]
    told += [
        _wrapped(f"{name}: {cell}", "    ")
        for name, cell in zip(head[1:], row[1:], strict=True)
        if cell
    ]
    return "\n".join(told)


def _wrapped(text: str, lead: str = "") -> str:
    return wrapped(_LINK.sub(r"\1", text), WIDTH, lead)
