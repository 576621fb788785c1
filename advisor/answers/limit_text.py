"""Limits in plain words: `no lifting, my back is out`, `away from 10 to 24 september`.

A sentence is a limit only if each of its words is known to be about that one kind of limit, a day,
an hour or nothing; its reason may stand behind a comma. What lacks a day or an hour is refused.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from advisor.answers.limit_days import take_days
from advisor.answers.limit_hours import take_hours
from advisor.answers.limit_piece import Asked, Piece, Unclear
from advisor.answers.limit_value import value_of
from advisor.answers.limit_words import (
    AGAIN,
    ALL_HEADS,
    ALL_WITH,
    FILLERS,
    KINDS,
    MACHINES,
    NEGATED,
    OF_DATES,
    ONLY,
    REWRITTEN,
    SEASONS,
)
from advisor.answers.question_text import plain
from advisor.base.record import Record, replace
from advisor.records.date_words import NUMBER_WORDS
from advisor.records.limit_values import ALL, NONE
from advisor.records.work_text import refused

_CALLED = [(name, kind) for kind, names in MACHINES.items() for name in names]
_MACHINE = re.compile(rf"\b(?P<name>{'|'.join(name for name, _ in _CALLED)})s?\b")
_SUM = r"[0-9][0-9,]*(?:\.[0-9]+)?"
_MONEY = re.compile(
    rf"(?P<sign>[$€£]) ?(?P<of>{_SUM})|(?<![\w.:/-])(?P<sum>{_SUM})"
    r" ?(?P<code>[$€£]|dollars?|bucks|euros?|pounds?|usd|eur|gbp|aud|nzd|cad|chf)?(?![\w:])"
)
_WORD = re.compile(r"[a-z]+(?:-[a-z]+)*|[0-9][0-9.,:/]*|[$€£]")
_APART = re.compile(
    r"[,;:()]|\.(?= |\Z)| - | because | since (?=i |my |we |the )| as (?=i |my |we )"
)
_ASKS = re.compile(
    r"\?|^(?:(?:can|may|could|should|will|do|does|is|are|am|must|have|has) "
    r"(?:i|we|it|he|she|they|my|the|there)|when|how|what|who|why|where|which)\b"
)
_NUMBERS = frozenset(NUMBER_WORDS) | {"both", *map(str, range(2, 10))}


class LimitSaid(Record, frozen=True):
    """A key of `limits` in site.yaml, or `all`, and its value as the journal's cell has it.

    placed: whether only the length of the hours was told, and not when. reasons: what stands beside
    the limit in the sentence.
    """

    what: str
    value: str
    placed: bool = False
    reasons: tuple[str, ...] = ()


def read_limit(note: str, asked: Asked) -> LimitSaid | None:
    """The limit that a note tells; None if it tells none. Raises `BadInput` for one that is
    unclear, with what to write instead.
    """
    text = plain(note).strip(" .!")
    if _ASKS.search(text):
        return None
    pieces = [text, *filter(None, (piece.strip() for piece in _APART.split(text)))]
    unclear: Unclear | None = None
    found: list[tuple[str, LimitSaid]] = []
    for piece in dict.fromkeys(pieces):
        try:
            said = _read(piece, asked, whole=piece == text)
        except Unclear as why:
            unclear = unclear or why
            continue
        if said is not None:
            if piece == text:
                return said
            found.append((piece, said))
    if len(found) == 1 and unclear is None:
        (limit, said), *_ = found
        reasons = [piece for piece in pieces[1:] if piece != limit]
        if _are_reasons(reasons, asked):
            return replace(said, reasons=tuple(reasons))
    if len(found) > 1:
        raise refused(f"'{note}' tells more than one limit; write one note for each")
    if unclear is not None:
        raise refused(f"'{note}' reads as a limit, but {unclear}")
    return None


def hint_for(note: str) -> str:
    """What could be written if a note was meant for a limit; empty if no word tells of one."""
    words = frozenset(_WORD.findall(_rewritten(plain(note))))
    if words & ALL_HEADS:
        return "'no more limits'"
    return next((kind.such for kind in KINDS.values() if (kind.heads | kind.near) & words), "")


def _are_reasons(pieces: list[str], asked: Asked) -> bool:
    """Whether all beside the limit only says why: it names no day, hour or number."""
    for piece in pieces:
        try:
            days, rest = take_days(piece, asked.on, asked.latitude)
            hours, rest = take_hours(rest)
        except ValueError:
            return False
        if days.every or days.spans or hours.told or hours.minutes or re.search("[0-9]", rest):
            return False
    return True


def _rewritten(text: str) -> str:
    for pattern, means in REWRITTEN:
        text = pattern.sub(means, text)
    return text


def _read(text: str, asked: Asked, *, whole: bool) -> LimitSaid | None:
    text = _rewritten(text)
    machines = [dict(_CALLED)[match["name"]] for match in _MACHINE.finditer(text)]
    text = _MACHINE.sub(" ", text)
    words = frozenset(_WORD.findall(text))
    if words & SEASONS:  # they begin and end on no day
        return None
    if words & ALL_HEADS:
        return _ended(words) if whole else None
    kind = _kind_of(words, machines)
    try:
        days, rest = take_days(text, asked.on, asked.latitude)
        money = tuple(_MONEY.finditer(rest)) if kind == "hire" else ()
        rest = _MONEY.sub(" ", rest) if kind == "hire" else rest
        hours, rest = take_hours(rest)
    except ValueError as error:
        # Without a word of its own, or with others, it may be about something else.
        known = tuple(word for word in words - OF_DATES if not word[0].isdigit())
        if kind == "work" or not _covered(kind, known):
            return None
        raise Unclear(str(error)) from None
    left = tuple(_WORD.findall(rest))
    if not _covered(kind, left):
        return None
    sums = tuple(
        (match["of"] or match["sum"], match["sign"] or match["code"] or "") for match in money
    )
    what, value = value_of(kind, Piece(left, days, hours, tuple(machines), sums), asked)
    placed = what == "work" and hours.minutes is not None and not hours.told
    return LimitSaid(what, value, placed) if what else None


def _kind_of(words: frozenset[str], machines: Sequence[str]) -> str:
    for name in ("helpers", "shop"):
        if KINDS[name].heads & words:
            return name
    if KINDS["hire"].heads & words and not (machines and not _told_money(words)):
        return "hire"
    if machines:
        return "hired_on"
    for name in ("lifting", "engines", "machines", "away"):
        if KINDS[name].heads & words:
            return name
    return "work"


def _told_money(words: frozenset[str]) -> bool:
    return bool(
        words & {"$", "€", "£", "dollar", "dollars", "bucks", "euro", "euros", "pounds", "usd"}
    )


def _covered(kind: str, left: tuple[str, ...]) -> bool:
    """Whether each word is of the kind, or says nothing by itself."""
    known = KINDS[kind].heads | KINDS[kind].with_ | NEGATED | ONLY | AGAIN | FILLERS
    return all(word in known or (kind == "helpers" and word in _NUMBERS) for word in left)


def _ended(words: frozenset[str]) -> LimitSaid | None:
    """`no more limits`, `no more limits on noise`."""
    if not words & (NEGATED | ALL_WITH):
        return None
    named = [name for name in KINDS if KINDS[name].heads & words and name != "away"]
    named += ["work"] if words & {"hours", "time", "work"} and not named else []
    known = ALL_HEADS | ALL_WITH | NEGATED | FILLERS | AGAIN
    for name in named:
        known = known | KINDS[name].heads | KINDS[name].with_
    if words - known:
        return None
    if len(named) > 1:
        raise Unclear("it names two of them; write one note for each, or 'no more limits'")
    return LimitSaid(named[0] if named else ALL, NONE)
