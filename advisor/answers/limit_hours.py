"""Hours of a limit: `from 9 to 11`, `not before ten`, `in the morning`, and `two hours`."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from advisor.base.dates import DAY_MIN, clock
from advisor.base.record import Record
from advisor.records.date_words import NUMBER_WORDS
from advisor.records.limits import Span

NOON = 12 * 60
PARTS: dict[str, Span] = {
    "morning": (8 * 60, NOON),
    "afternoon": (NOON, 18 * 60),
    "evening": (18 * 60, 21 * 60),
}
"""What a part of the day is taken for; it is read back (common usage, chosen)."""
_WIDE: dict[Span, Span] = {
    PARTS["morning"]: (0, NOON),
    PARTS["evening"]: (18 * 60, DAY_MIN),
}
"""Who is not there in the morning is not there before it."""
_FIGURES = {"eleven": 11, "twelve": 12, **{n: k for n, k in NUMBER_WORDS.items() if n != "a"}}
_TIME = (
    r"(?P<{0}>(?:[0-9]{{1,2}}(?::[0-5][0-9])?|"
    + "|".join(_FIGURES)
    + r")(?: ?(?:[ap]\.?m\b\.?|o'?clock|h\b))?|noon|midday|midnight)"
)
_ONE, _TWO, _LONE = _TIME.format("one"), _TIME.format("two"), _TIME.format("lone")
_RANGE = re.compile(
    rf"(?:\b(?:from|between) )?(?<![\w:.]){_ONE}(?: ?- ?| (?:to|until|till|and) ){_TWO}(?![\w:])"
)
_BOUND = re.compile(
    r"\b(?P<bound>before|earlier than|after|later than|past|until|till|from|by|starting at) "
    rf"(?:at )?{_LONE}(?: on(?:wards?)?\b(?! [a-z]))?(?![\w:])"
)
_PART = re.compile(r"\b(?:in the |on |the )?(?P<part>morning|afternoon|evening)s?\b")
_WHOLE = re.compile(
    r"\b(?:all day(?: long)?|the whole day|at any (?:time|hour)|any (?:time|hour))\b"
)
_HALF_TOLD = re.compile(
    r"(?<![\w:])([0-9]{1,2}(?::[0-5][0-9])?|"
    + "|".join(_FIGURES)
    + r") ?(?:o'?clock|[ap]\.?m\.?)? ?in the (morning|afternoon|evening)\b"
)
_COUNT = rf"[0-9]+(?:\.[0-9]+)?|{'|'.join((*_FIGURES, 'an', 'a'))}"
_LASTS = re.compile(
    rf"\b(?:for )?(?:(?P<half>half an hour)|(?P<count>{_COUNT}) ?(?P<plus>and a half )?"
    r"(?P<unit>hours?|hrs?|h|minutes?|mins?)(?P<more> and a half)?)\b"
)
_AFTERNOON = range(1, 6)
"""Nobody works on a lawn at these hours of the night: in the afternoon, if no half is said."""


class LimitHours(Record, frozen=True):
    """Spans in minutes after midnight. ranges: with a start and an end. bounds: before or after a
    time. minutes: how long in all.
    """

    ranges: tuple[Span, ...] = ()
    bounds: tuple[Span, ...] = ()
    minutes: int | None = None

    @property
    def told(self) -> bool:
        """Whether any time of day is told."""
        return bool(self.ranges or self.bounds)

    def within(self, free: Iterable[Span]) -> tuple[Span, ...]:
        """What of the free spans lies in these hours."""
        parts = tuple(_cut(free, self.ranges)) if self.ranges else tuple(free)
        for bound in self.bounds:
            parts = tuple(_cut(parts, (bound,)))
        return parts

    def without(self, free: Iterable[Span]) -> tuple[Span, ...]:
        """What is left of the free spans outside these hours."""
        left = tuple(free)
        for start, end in (_WIDE.get(span, span) for span in (*self.ranges, *self.bounds)):
            left = tuple(_cut(left, ((0, start), (end, DAY_MIN))))
        return left


def _cut(spans: Iterable[Span], by: Iterable[Span]) -> Iterator[Span]:
    for start, end in spans:
        for first, last in by:
            if max(start, first) < min(end, last):
                yield max(start, first), min(end, last)


def take_hours(text: str) -> tuple[LimitHours, str]:
    """The hours that plain text names, and the text without them.

    Raises `ValueError` with a sentence for hours that are unclear.
    """
    minutes, text = _duration(text)
    text = _HALF_TOLD.sub(lambda m: f"{m[1]} {'am' if m[2] == 'morning' else 'pm'}", text)
    found: dict[re.Pattern[str], tuple[Span, ...]] = {}
    for pattern, read in (
        (_RANGE, _range), (_BOUND, _bounded), (_PART, _part), (_WHOLE, lambda _: (0, DAY_MIN))
    ):  # fmt: skip
        found[pattern] = tuple(map(read, pattern.finditer(text)))
        text = pattern.sub(" ", text)
    bounds = found.pop(_BOUND)
    return LimitHours(tuple(s for spans in found.values() for s in spans), bounds, minutes), text


def _duration(text: str) -> tuple[int | None, str]:
    match = _LASTS.search(text)
    if not match:
        return None, text
    if match["half"]:
        minutes = 30.0
    else:
        said = match["count"]
        count = float({"an": 1, "a": 1, **_FIGURES}.get(said) or said)
        minutes = count * (60 if match["unit"].startswith("h") else 1)
        minutes += 30 if match["more"] or match["plus"] else 0
    if not 0 < minutes <= DAY_MIN:
        raise ValueError(f"'{match[0].strip()}' does not fit into a day")
    return round(minutes), f"{text[: match.start()]} {text[match.end() :]}"


def _range(match: re.Match[str]) -> Span:
    (start, first), (end, second) = _read(match["one"]), _read(match["two"])
    if second and not first and start < NOON:
        # "2 to 4 pm" is in the afternoon, "9 to 5 pm" is not.
        start += NOON if second == "p" and start + NOON < end else 0
    elif not first and start // 60 in _AFTERNOON:
        start += NOON
    if not second and end <= start:
        end += NOON
    if match["two"] == "midnight":
        end = DAY_MIN
    if not start < end <= DAY_MIN:
        raise ValueError(f"'{match[0].strip()}' does not run forwards within one day")
    return start, end


def _bounded(match: re.Match[str]) -> Span:
    at, half = _read(match["lone"])
    before = match["bound"] in ("before", "earlier than", "until", "till", "by")
    if not half and at // 60 in _AFTERNOON:
        at += NOON
    elif not half and match["bound"] not in ("before", "earlier than", "from", "starting at"):
        if at // 60 == 6:
            at += NOON
        elif at // 60 in range(7, 12):
            said = match[0].strip()
            raise ValueError(
                f"'{said}' may be in the morning or the evening; write '{match['bound']} "
                f"{clock(at)} am' or '{match['bound']} {clock(at + NOON)}'"
            )
    if before and match["lone"] == "midnight":
        at = DAY_MIN
    if not 0 < at < DAY_MIN:
        raise ValueError(f"'{match[0].strip()}' bounds no hours of a day")
    return (0, at) if before else (at, DAY_MIN)


def _part(match: re.Match[str]) -> Span:
    return PARTS[match["part"]]


def _read(said: str) -> tuple[int, str]:
    """Minutes after midnight, and the half of the day if it is told: `a`, `p`, or `exact`."""
    if said in ("noon", "midday", "midnight"):
        return (0 if said == "midnight" else NOON), "exact"
    figures = re.match(r"([0-9]+)(?::([0-9]+))?", said)
    hour = int(figures[1]) if figures else _FIGURES[said.split()[0]]
    minute = int(figures[2] or 0) if figures else 0
    half = re.search(r"([ap])\.?m\.?\Z", said)
    if hour > 24 or (hour == 24 and minute) or (half and not 1 <= hour <= 12):
        raise ValueError(f"'{said}' is no time of day")
    if half:
        return (hour % 12 + (12 if half[1] == "p" else 0)) * 60 + minute, half[1]
    exact = hour == 0 or hour > 12 or said.startswith("0")
    return hour * 60 + minute, "exact" if exact else ""
