"""What the law of a place says on a job, and which rules of the place were read."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator

from advisor.answers.words import listed
from advisor.base.dates import say_date
from advisor.cases.case import Case, laws_of, local_law
from advisor.cases.parts import Part
from advisor.rulebook.actives import Bar
from advisor.rulebook.conditions import Source
from advisor.rulebook.law import FEEDING_SUBJECTS, LawRule, Laws, rules_on


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


MATTERS: dict[str, tuple[str, ...]] = {
    "fertiliser": FEEDING_SUBJECTS,
    "weed killers": ("pesticide",),
    "watering": ("watering",),
}
"""What a lawn keeper may meet a law on, and the subjects that it stands for."""
_WITH_ARTICLE = ("United ", "Netherlands", "Philippines", "Bahamas", "Isle of ", "District of ")
ABOVE = "labels and local codes stand above this advice."


def law_line(case: Case) -> str:
    """`Rules read: New Jersey on fertiliser (N.J.S.A. …, 25 Nov 2026). Not checked: …`"""
    laws = laws_of(case)
    read = [text for law in laws for text in _read(law, case.book.offered)]
    missing = [matter for matter, subjects in MATTERS.items() if not rules_on(laws, subjects)]
    place = _place_name(case)
    if not read:
        of = f" of {place}" if place else ""
        return f"Local rules{of} on {listed(tuple(MATTERS))} were not checked; {ABOVE}"
    smaller = "the rules of your county, town and watershed"
    if case.site.place.county and any(law.county for law in laws):
        smaller = "the rules of your town and watershed"
    if any(law.town for law in laws):
        smaller = "the rules of your county and watershed"
    unread = listed((*(f"those on {matter}" for matter in missing), smaller))
    return f"Rules read: {'; '.join(read)}. Not checked: {unread}; {ABOVE}"


def forbidden_line(case: Case, parts: Iterable[Part]) -> str:
    """What plans leave out because the law of the place forbids it; empty if that is nothing.

    `Left out by law: feeding from 16 Nov to 29 Feb; weed preventer and grub control, all year.`
    """
    parts = tuple(parts)
    bans = local_law(case).bans
    said, always = [], []
    for part in parts:
        for id in part.decider.operations():
            decision = part.decider.decide(id)
            title = decision.operation.title.lower()
            if decision.for_good:
                always.append(title)
            elif bans and "blackout" in decision.operation.laws:
                spans = listed(tuple(f"{_day(*first)} to {_day(*last)}" for first, last in bans))
                said.append(f"{title} from {spans}")
    if always:
        said.append(f"{listed(tuple(dict.fromkeys(always)))}, all year")
    return f"Left out by law: {'; '.join(dict.fromkeys(said))}." if said else ""


def _day(month: int, day: int) -> str:
    """A day of any year; 2000 has each of them."""
    return say_date(dt.date(2000, month, day))


def _read(law: Laws, offered: frozenset[str]) -> Iterator[str]:
    """What was read of a place, by matter: sources and the day. offered: the ingredients that some
    text offers; of rules on others nothing is told."""
    for matter, subjects in MATTERS.items():
        rules = [rule for rule in rules_on([law], subjects) if rule.read]
        if rules:
            yield f"{law.title} on {matter} ({_sources(rules)})"
    named: dict[str, None] = {}
    rules = []
    for rule in rules_on([law], ["ingredient"]):
        bar = rule.bar
        # What hangs on a town's own rule is not read by that.
        if rule.read and bar is not None and bar.actives & offered and not bar.everything:
            named |= dict.fromkeys(bar.named)
            rules.append(rule)
    if rules:
        yield f"{law.title} on {listed(tuple(named))} ({_sources(rules)})"


def _sources(rules: list[LawRule]) -> str:
    days = [rule.checked for rule in rules if rule.checked is not None]
    day = f", {say_date(min(days))} {min(days).year}" if days else ""
    return f"{listed(sources_of(rules))}{day}"


def _place_name(case: Case) -> str:
    place = case.site.place
    if not place.country:
        return ""
    # The names of regions are needed only here, and reading them takes its time.
    from advisor.places.regions import region_name

    name = region_name((place.country.upper(), (place.subdivision or "").upper()))
    return f"the {name}" if name.startswith(_WITH_ARTICLE) else name
