"""What the law of a place says on a job, in a sentence."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator

from advisor.answers.words import listed
from advisor.base.dates import say_date
from advisor.rulebook.evidence import Source
from advisor.rulebook.law import LawRule, Laws, rules_on
from advisor.rulebook.options import Bar


def law_advice(
    laws: Iterable[Laws],
    subjects: Iterable[str],
    grass: str,
    on: dt.date,
    offered: frozenset[str],
) -> Iterator[str]:
    """One sentence for each place, with the rules on these subjects and their sources.

    on: rules on ingredients are told in their time, and a year ahead. offered: the ingredients that
    the job's texts offer; rules on others are passed over. What was only heard of is told apart.
    """
    wanted = tuple(subjects)
    for law in laws:
        rules = [r for r in rules_on([law], wanted, grass) if _concerns(r.bar, on, offered)]
        read = [rule for rule in rules if rule.read]
        if read:
            said = "; ".join(_rule(rule, on) for rule in read)
            yield f"The law in {law.title}: {said} ({listed(sources_of(read))})"
        heard = [rule for rule in rules if not rule.read]
        if heard:
            said = "; ".join(_rule(rule, on) for rule in heard)
            yield f"Reported of {law.title}, not read in its law: {said}. Ask before you buy"


def _concerns(bar: Bar | None, on: dt.date, offered: frozenset[str]) -> bool:
    return bar is None or (bar.is_near(on) and (bar.everything or bool(bar.actives & offered)))


def _rule(rule: LawRule, on: dt.date) -> str:
    spared = f", except: {listed(rule.exceptions, 'or')}" if rule.exceptions else ""
    begins = rule.bar.begins if rule.bar is not None else None
    ahead = f"from {say_date(begins)} {begins.year} on " if begins and begins > on else ""
    return f"{ahead}{rule.says}{spared}"


def sources_of(rules: Iterable[LawRule]) -> tuple[str, ...]:
    """The laws or papers that the rules stand in, each once."""
    named = (e.source for rule in rules for e in rule.evidence)
    return tuple(dict.fromkeys(_short(source) for source in named if source is not None))


def _short(source: Source) -> str:
    """A law by its number; what others write of it by their name."""
    return source.number or source.title if source.kind == "law" else source.authors
