"""What the law of a place says on a job, in a sentence."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from advisor.answers.words import listed
from advisor.rulebook.evidence import Source
from advisor.rulebook.law import LawRule, Laws, rules_on


def law_advice(laws: Iterable[Laws], subjects: Iterable[str], grass: str) -> Iterator[str]:
    """One sentence for each place, with the rules on these subjects and their sources."""
    wanted = tuple(subjects)
    for law in laws:
        rules = rules_on([law], wanted, grass)
        if rules:
            said = "; ".join(_rule(rule) for rule in rules)
            yield f"The law in {law.title}: {said} ({listed(sources_of(rules))})"


def _rule(rule: LawRule) -> str:
    spared = f", except: {listed(rule.exceptions, 'or')}" if rule.exceptions else ""
    return f"{rule.says}{spared}"


def sources_of(rules: Iterable[LawRule]) -> tuple[str, ...]:
    """The laws or papers that the rules stand in, each once."""
    named = (e.source for rule in rules for e in rule.evidence)
    return tuple(dict.fromkeys(_short(source) for source in named if source is not None))


def _short(source: Source) -> str:
    """A law by its number; what others write of it by their name."""
    return source.number or source.title if source.kind == "law" else source.authors
