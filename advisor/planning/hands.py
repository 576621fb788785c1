"""Who is there, and from when so many of them are free for so long."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

STEP_MIN = 5
"""Plans are made in steps of five minutes."""
Span = tuple[int, int]
Spans = tuple[Span, ...]
"""Minutes after midnight, in order, apart from each other."""
NEVER = 10**6


def common(a: Spans, b: Spans | None) -> Spans:
    """What lies in both; b None: always."""
    if b is None or a == b:
        return a
    both = ((max(s, t), min(e, f)) for s, e in a for t, f in b)
    return tuple(span for span in both if span[0] < span[1])


def earliest(spans: Spans, length: int, after: int, starts: Spans | None = None) -> int:
    """The first start from `after` on that lets so many minutes lie in one span; `NEVER` if none.

    starts: between which minutes it may start; None: at any time.
    """
    for begin, end in spans:
        first, last = max(begin, after), end - length
        if first > last:
            continue
        if starts is None:
            return first
        for low, high in starts:
            if max(first, low) <= min(last, high):
                return max(first, low)
    return NEVER


def latest(spans: Spans, length: int, before: int, starts: Spans | None = None) -> int:
    """The last start that lets it end by `before`; -1 if there is none."""
    found = -1
    for begin, end in spans:
        last = min(end, before) - length
        if last < begin:
            continue
        if starts is None:
            found = max(found, last)
        for low, high in starts or ():
            if min(last, high) >= max(begin, low):
                found = max(found, min(last, high))
    return found


@dataclass
class Hand:
    """One person of a day. spans: when there to work; errands: when there to drive."""

    spans: Spans
    errands: Spans
    free: int = 0
    minutes: float = 0.0
    met: float = 0.0


@dataclass
class Crowd:
    """A choice of people with the start that they allow."""

    start: int
    hands: Sequence[Hand]


def gather(
    hands: Sequence[Hand],
    people: int,
    length: int,
    after: int,
    *,
    within: Spans | None = None,
    errand: bool = False,
    starts: Spans | None = None,
) -> Crowd | None:
    """Those who can begin first; of equals those who have been free longest, then done least."""

    def spans(hand: Hand) -> Spans:
        return common(hand.errands if errand else hand.spans, within)

    if len(hands) == 1:
        start = earliest(spans(hands[0]), length, max(hands[0].free, after), starts)
        return Crowd(start, hands) if people == 1 and start < NEVER else None
    firsts = [
        (earliest(spans(h), length, max(h.free, after), starts), h.free, h.met, i)
        for i, h in enumerate(hands)
    ]
    chosen = [hands[i] for start, *_, i in sorted(firsts)[:people] if start < NEVER]
    if len(chosen) < people:
        return None
    shared = spans(chosen[0])
    for hand in chosen[1:]:
        shared = common(shared, spans(hand))
    start = earliest(shared, length, max(after, *(h.free for h in chosen)), starts)
    return Crowd(start, chosen) if start < NEVER else None
