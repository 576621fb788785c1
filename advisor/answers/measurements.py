"""Which unknown fact is worth finding out first: the one that would settle most this month."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from advisor.answers.answer import Answer, Measurement
from advisor.answers.words import listed
from advisor.base.record import Record
from advisor.decide.verdicts.decision_cache import KeptRules
from advisor.decide.verdicts.what_would_change import settled_share
from advisor.facts.fact import Vocabulary

MONTH_DAYS = 30
_MOST_NAMED = 3


class Worth(Record, frozen=True):
    """One unknown fact and what it would bring.

    wanted: how to take it, with what each result means for the first of `answers`. settles: titles
    of operations that wait for a measurement and, whatever the result, would wait no longer. may:
    of those that some results would settle. turns: of the others whose verdict depends on it.
    areas: where it is unknown; empty for a lawn that is one part. answers: those that it bears on,
    each with the share of results (0 to 1) that settle it. soon: it bears on the coming month.
    """

    wanted: Measurement
    settles: tuple[str, ...]
    may: tuple[str, ...]
    turns: tuple[str, ...]
    areas: tuple[str, ...]
    answers: tuple[tuple[Answer, float], ...]
    soon: bool

    @property
    def for_what(self) -> str:
        """`thatch removal and core aeration`: what it settles, or else what depends on it."""
        named = tuple(t.lower() for t in ((*self.settles, *self.may) or self.turns))
        more = () if len(named) <= _MOST_NAMED else (f"{len(named) - _MOST_NAMED} more",)
        return listed((*named[:_MOST_NAMED], *more))

    @property
    def routine_only(self) -> bool:
        """Whether only work that goes on without a reminder depends on it."""
        return all(answer.decision.operation.routine for answer, _ in self.answers)


def rank_measurements(
    answers: Iterable[Answer], vocabulary: Vocabulary, kept: KeptRules | None = None
) -> tuple[Worth, ...]:
    """Every unknown fact that a keeper can find out and that matters, the most worthwhile first.

    A fact matters if its possible results lead to different verdicts. Those that bear on the
    coming month come first, and on the best season of some work before a second one. Among them
    those of which one can expect that they settle most waiting operations, each result being as
    likely as another; then those on which most verdicts depend. Season's work counts before
    routine, which only breaks ties. kept: what was found for other lawns.
    """
    bearing: dict[str, list[Answer]] = {}
    for answer in answers:
        if answer.decision.verdict in ("missed", "ruled_out") or answer.decision.forbidden_ahead:
            continue
        for item in answer.measure:
            bearing.setdefault(item.fact, []).append(answer)
    found = (_worth(fact, on, vocabulary, kept) for fact, on in bearing.items())
    return tuple(sorted(found, key=_rank))


def _is_near(answer: Answer) -> bool:
    """Whether the season is open, or opens within a month or the operation's own lead."""
    decision = answer.decision
    current = decision.outlook.whole
    if decision.outlook.state != "before" or current is None:
        return True
    ahead = max(MONTH_DAYS, decision.operation.measure_lead)
    return current.opens.p50 <= decision.on + dt.timedelta(days=ahead)


def _worth(fact: str, on: list[Answer], vocabulary: Vocabulary, kept: KeptRules | None) -> Worth:
    near = [answer for answer in on if _is_near(answer)]
    shares = [(answer, _share(answer, fact, vocabulary, kept)) for answer in near or on]
    shares.sort(key=lambda pair: (-pair[1], pair[0].decision.operation.routine))

    def titles(low: float, high: float) -> tuple[str, ...]:
        return tuple(dict.fromkeys(a.title for a, share in shares if low <= share <= high))

    settles = titles(1.0, 1.0)
    may = tuple(t for t in titles(1e-9, 1.0) if t not in settles)
    turns = tuple(t for t in titles(0.0, 1.0) if t not in (*settles, *may))
    first = shares[0][0]
    areas = tuple(dict.fromkeys(answer.area for answer, _ in shares if answer.area))
    wanted = next(m for m in first.measure if m.fact == fact)
    return Worth(wanted, settles, may, turns, areas, tuple(shares), soon=bool(near))


def _share(answer: Answer, fact: str, vocabulary: Vocabulary, kept: KeptRules | None) -> float:
    decision = answer.decision
    if decision.verdict != "measure":
        return 0.0
    return kept.settled(decision, fact) if kept else settled_share(decision, fact, vocabulary)


def _in_second_season(answer: Answer) -> bool:
    """Whether a better season for the work is to come, such as autumn for leaves in spring."""
    current = answer.decision.outlook.current
    return current is not None and current.window.prefer > 1


def _rank(worth: Worth) -> tuple[bool, bool, float, int, int, float, int]:
    best: dict[str, float] = {}
    for answer, share in worth.answers:
        best[answer.title] = max(share, best.get(answer.title, 0.0))
    routine = {a.title for a, _ in worth.answers if a.decision.operation.routine}
    season = [share for title, share in best.items() if title not in routine]
    # Whether work is needed at all is asked before whether it could be done.
    first = {a.title for a, _ in worth.answers if a.measure[0].fact == worth.wanted.fact}
    needed = len(first - routine)
    total = -sum(best.values())
    second = all(_in_second_season(answer) for answer, _ in worth.answers)
    return (not worth.soon, second, -sum(season), -needed, -len(season), total, -len(best))
