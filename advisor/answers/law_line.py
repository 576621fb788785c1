"""One line on the law behind an answer: which rules of the place were read, which were not."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator

from advisor.answers.law_words import sources_of
from advisor.answers.words import listed
from advisor.base.dates import say_date
from advisor.cases.case import Case
from advisor.cases.laws import laws_of, local_law
from advisor.cases.parts import Part
from advisor.rulebook.law import FEEDING_SUBJECTS, LawRule, Laws, rules_on

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
