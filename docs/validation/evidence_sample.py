"""Draw published deciding limits to be read again. Run by hand:

    python docs/validation/evidence_sample.py [SEED] [HOW_MANY]

Prints each with its rule, limit, source and what the rule book says that the source says.
evidence_sample.md tells what a second reading found.
"""

from __future__ import annotations

import random
import sys
from collections.abc import Iterator

from advisor.rulebook.conditions import Leaf
from advisor.rulebook.coverage import deciding_limits
from advisor.rulebook.grass import GrassLimit
from advisor.rulebook.model import Evidence, RuleBook
from advisor.rulebook.read_rulebook import read_rulebook

SEED, HOW_MANY = 2026, 30


def published(book: RuleBook) -> Iterator[tuple[str, str, Evidence]]:
    """Where a limit stands, the limit in canonical units, and the evidence named first."""
    for id, operation in book.operations.items():
        own: list[Leaf] = [
            x for x in deciding_limits(operation) if not isinstance(x.limit, GrassLimit)
        ]
        for leaf in own:
            said = f"{leaf.fact} {leaf.comparison} {leaf.limit}"
            yield f"{id} {leaf.path}", said, operation.evidence[leaf.evidence[0]]
        for wait in operation.waits:
            said = f"{wait.days or 'by ingredient'} d before {', '.join(wait.blocks)}"
            yield f"{id} wait {wait.id}", said, operation.evidence[wait.evidence[0]]
    for id, grass in book.grasses.items():
        used = {
            str(leaf.limit)
            for operation in book.operations.values()
            if id in operation.grasses
            for leaf in deciding_limits(operation, id)
            if isinstance(leaf.limit, GrassLimit)
        }
        for name in sorted(used):
            limit = grass.limits[name]
            yield f"{id} {name}", str(limit.value), grass.evidence[limit.evidence[0]]


def main(seed: int, many: int) -> None:
    book = read_rulebook()
    all_of_them = [row for row in published(book) if row[2].kind == "published"]
    drawn = random.Random(seed).sample(all_of_them, many)
    print(
        f"{many} of {len(all_of_them)} published limits, seed {seed}; canonical units (°C, mm, d)"
    )
    for number, (where, said, evidence) in enumerate(drawn, 1):
        source = evidence.source
        assert source is not None
        print(f"{number}. {where}: {said}")
        print(f"   {source.id}, {evidence.at}: {evidence.says}")
        print(f"   {source.title} ({source.read}) {source.address}")


if __name__ == "__main__":
    asked = [int(word) for word in sys.argv[1:3]]
    main(*(asked + [SEED, HOW_MANY][len(asked) :]))
