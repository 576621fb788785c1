"""Pages about the whole rule book: index, what it rests on, where sources differ, all as text."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from advisor.rulebook.conditions import EvidenceKind
from advisor.rulebook.coverage import KINDS, Coverage, coverage
from advisor.rulebook.disagreements import Disagreement, disagreements
from advisor.rulebook.facts_read import GATES
from advisor.rulebook.model import Evidence, RuleBook
from advisor.rulebook.pages.page import Block, Heading, Items, Page, Table, Text
from advisor.rulebook.pages.words import both_units, leaf_said, plain

_LETTERS = {gate: gate[0] for gate in GATES.values()}


def coverage_page(book: RuleBook) -> Page:
    """Counts by kind of evidence, by operation and by grass, and which job reads which fact."""
    found = coverage(book)
    return Page(
        "What the rules rest on",
        (
            Text(
                f"{found.operations} operations, {found.grasses} grasses, {found.facts} facts, "
                f"{found.sources} sources, {found.cautions} cautions, {found.examples} inline "
                "examples."
            ),
            Text(
                f"{found.limits} limits decide a verdict: they stand in a need, a season, a "
                "readiness or a conflict. A limit counts as the kind of the first evidence that it "
                "names, which is the one behind the number itself."
            ),
            Table(
                ("rests on", "limits", "share"),
                tuple(
                    (plain(kind), str(n), _share(n, found.limits))
                    for kind, n in found.evidence.items()
                ),
            ),
            Heading("By operation"),
            Text("Limits that a grass states are counted under the grass."),
            _kinds_table(
                "operation", {id: part.evidence for id, part in found.by_operation.items()}, book
            ),
            Heading("By grass"),
            _kinds_table("grass", found.by_grass, book),
            Heading("Which operation reads which fact"),
            *_facts_table(found, book),
        ),
    )


def _kinds_table(
    noun: str, counts: Mapping[str, Mapping[EvidenceKind, int]], book: RuleBook
) -> Table:
    rows = []
    for id, kinds in counts.items():
        total = sum(kinds.values())
        title = titles(book)[id]
        rows.append((title, *(str(kinds[k]) for k in KINDS), _share(kinds["published"], total)))
    return Table((noun, *map(plain, KINDS), "share published"), tuple(rows))


def _facts_table(found: Coverage, book: RuleBook) -> Iterator[Block]:
    letters = ", ".join(f"{letter} {gate}" for gate, letter in _LETTERS.items())
    yield Text(f"Letters: {letters}.")
    ids = list(book.operations)
    rows = []
    for fact, by_operation in found.facts_read.items():
        cells = ("".join(_LETTERS[g] for g in by_operation.get(id, ())) for id in ids)
        rows.append((book.vocabulary[fact].title, *cells))
    yield Table(("fact", *(book.operations[id].title for id in ids)), tuple(rows))


def disagreements_page(book: RuleBook) -> Page:
    """Each limit with a range, by operation and grass: who says what, which one the rule uses."""
    blocks: list[Block] = [
        Text(
            "Sources differ on these limits. What stands first beside a limit is what the number "
            "that the rule uses rests on; what follows supports or disputes it."
        )
    ]
    owner = ""
    items: list[tuple[int, str]] = []
    for one in disagreements(book):
        if one.owner != owner:
            if items:
                blocks.append(Items(tuple(items)))
            owner, items = one.owner, []
            blocks.append(Heading(titles(book)[owner]))
        items.append((0, f"{_limit_of(one, book)}. {one.range[:1].upper()}{one.range[1:]}"))
        items += [
            (1, f"{'used: ' if i == 0 else ''}{evidence_said(evidence)}")
            for i, evidence in enumerate(one.evidence)
        ]
    if items:
        blocks.append(Items(tuple(items)))
    return Page("Where sources differ", tuple(blocks))


def evidence_said(evidence: Evidence) -> str:
    """Kind, source and where in it; what it says, if the file tells."""
    if evidence.source is None:
        return str(evidence)
    says = f": {evidence.says}" if evidence.says else ""
    return f"{plain(evidence.kind)}, {evidence}{says}"


def index_page(book: RuleBook) -> Page:
    """Links to all pages of docs/rules."""
    operations = (f"[{o.title}]({o.id}.md)" for o in book.operations.values())
    grasses = (f"[{g.title}](grass_{g.id}.md)" for g in book.grasses.values())
    return Page(
        "The rule book",
        (
            Text(
                "These pages are written by docs/make_rules.py from the files under "
                "rules/; change those, never these."
            ),
            Heading("Operations"),
            Items(tuple((0, line) for line in operations)),
            Heading("Grasses"),
            Items(tuple((0, line) for line in grasses)),
            Heading("About all of them"),
            Items(
                (
                    (0, "[What the rules rest on](coverage.md)"),
                    (0, "[Where sources differ](disagreements.md)"),
                )
            ),
        ),
    )


def titles(book: RuleBook) -> dict[str, str]:
    """The title of each operation and grass."""
    operations = {id: o.title for id, o in book.operations.items()}
    return operations | {id: g.title for id, g in book.grasses.items()}


def _limit_of(one: Disagreement, book: RuleBook) -> str:
    if one.leaf is not None:
        return leaf_said(one.leaf, book.vocabulary)
    return f"{plain(one.name)}: {both_units(one.value or 0.0, one.unit)}"


def _share(part: int, whole: int) -> str:
    return f"{100 * part / whole:.0f} %" if whole else ""
