"""What a law file says of active ingredients."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import Annotated, get_args

from pydantic import Field

from advisor.base.checked_model import FileModel
from advisor.base.problems import Problems, did_you_mean
from advisor.base.strict_yaml import Document, Loc
from advisor.rulebook.actives import CHOICES, SYNTHETIC, Actives, Bar, Bound, Effect, Status
from advisor.rulebook.conditions import Evidence


class BarEntry(FileModel):
    """`from` and `until` are the first and the last day on which it holds."""

    ingredients: Annotated[list[str], Field(min_length=1)]
    effect: Effect
    status: Status
    binds: list[Bound] = []
    begins: dt.date | None = Field(None, alias="from")
    ends: dt.date | None = Field(None, alias="until")


def read_bar(
    entry: BarEntry | None,
    subject: str,
    actives: Actives,
    evidence: Mapping[str, Evidence],
    document: Document,
    loc: Loc,
    problems: Problems,
) -> Bar | None:
    """The bar. Only what was read may assert one; evidence: of the rule, by id."""

    def add(what: str) -> None:
        problems.add(document.place(loc), what)

    if entry is None:
        if subject == "ingredient":
            add("a rule on an ingredient wants 'bar', with 'ingredients', 'effect' and 'status'")
        return None
    if subject not in CHOICES:
        add(f"a rule on {subject} has no 'bar'")
    for i, name in enumerate(entry.ingredients):
        if name not in actives.names:
            what = f"ingredient '{name}' is not in actives.yaml{did_you_mean(name, actives.names)}"
            problems.add(document.place((*loc, "ingredients", i)), what)
    if entry.effect == "barred" and not _was_read(entry, evidence):
        add("only a rule that was read may say 'barred'; write 'doubtful'")
    if entry.effect == "barred" and not entry.binds:
        add(f"what is barred wants 'binds', with {' or '.join(get_args(Bound))}, or both")
    if entry.begins and entry.ends and entry.ends < entry.begins:
        add(f"it ends on {entry.ends}, before it begins on {entry.begins}")
    return Bar(
        named=tuple(entry.ingredients),
        actives=actives.meant_by(entry.ingredients),
        effect=entry.effect,
        status=entry.status,
        # Where nothing else is said, what is doubtful is doubtful for everybody.
        binds=frozenset(entry.binds or get_args(Bound)),
        begins=entry.begins,
        ends=entry.ends,
        everything=SYNTHETIC in entry.ingredients,
    )


def _was_read(entry: BarEntry, evidence: Mapping[str, Evidence]) -> bool:
    sources = [each.source for each in evidence.values()]
    opened = all(source is not None and source.read == "opened" for source in sources)
    return entry.status == "read" and opened
