"""A question as words: plain lower-case text, its tokens, and the names that stand in it."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Mapping

from advisor.answers.everyday_words import KNOWN_WORDS
from advisor.answers.near_words import NearWords
from advisor.base.record import Record
from advisor.records.note_words import stem

_TOKEN = re.compile(r"[a-z]+|[0-9]+|[,.;:?!]")
_HYPHEN = re.compile(r"(?<=[a-z])[-/](?=[a-z])")
_APOSTROPHES = "'’‘`´"
_DASHES = "‐‑‒–—"
# Words that may stand inside a name without changing it: "seed the lawn" is "seed lawn".
_FILLERS = frozenset(
    {"the", "my", "a", "an", "our", "your", "some", "any", "this", "that", "of", "out"}
)
_LONGEST_NAME = 7
_ENDINGS = (("ification", "ify"), ("ions", ""), ("ion", ""))
_AGENT_ENDINGS = ("ers", "ors", "er", "or")


class Token(Record, frozen=True):
    """A word, a number or a mark, and where it stands in the text (characters from 0)."""

    text: str
    start: int
    end: int


class Mention(Record, frozen=True):
    """The ids that a phrase of the question names, usually one. Characters from 0.

    `said` is the phrase; `meant` is the known word if the phrase has one letter wrong.
    """

    ids: frozenset[str]
    start: int
    end: int
    said: str
    meant: str = ""


def plain(question: str) -> str:
    """Lower case, without apostrophes, hyphens inside words or doubled spaces."""
    text = unicodedata.normalize("NFKC", question).casefold()
    for mark in _APOSTROPHES:
        text = text.replace(mark, "")
    for dash in _DASHES:
        text = text.replace(dash, "-")
    text = _HYPHEN.sub(" ", text).replace("&", " and ").replace("⁄", "/")
    return " ".join(text.split())


def tokenise(text: str) -> tuple[Token, ...]:
    """The words, numbers and clause marks of plain text."""
    return tuple(Token(m[0], m.start(), m.end()) for m in _TOKEN.finditer(text))


class Names:
    """Looks for the names of things, whatever the ending and spacing of their words."""

    def __init__(self, table: Mapping[str, Iterable[str]]) -> None:
        """`table` maps an id to its everyday names; the id itself is always one of them."""
        self._ids: dict[str, set[str]] = {}
        words: dict[str, set[str]] = {}
        for id, names in table.items():
            for name in (id.replace("_", " "), *names):
                said = [t.text for t in tokenise(plain(name)) if t.text not in _FILLERS]
                self._ids.setdefault("".join(map(stem, said)), set()).add(id)
                if len(said) == 1:
                    words.setdefault(said[0], set()).add(id)
        self._ids.pop("", None)
        self._near = NearWords(words)

    def find(self, tokens: tuple[Token, ...], *, spelling: bool = False) -> list[Mention]:
        """Every name in the text, the longest at each place, from left to right.

        With `spelling` a long word with one letter wrong counts too, if it can only mean one id.
        """
        found: list[Mention] = []
        at = 0
        while at < len(tokens):
            mention, used = self._at(tokens[at : at + _LONGEST_NAME], spelling)
            if mention is not None:
                found.append(mention)
            at += used
        return found

    def nearest(self, tokens: tuple[Token, ...]) -> str:
        """`, did you mean 'aerate'?` for a short word with one letter wrong, or nothing."""
        for token in tokens:
            meant = self._near.like(token.text)
            if meant and token.text not in KNOWN_WORDS:
                return f" (did you mean '{meant}'?)"
        return ""

    def _at(self, ahead: tuple[Token, ...], spelling: bool) -> tuple[Mention | None, int]:
        first = ahead[0]
        if not first.text.isalpha() or first.text in _FILLERS:
            return None, 1
        for length in range(len(ahead), 0, -1):
            span = ahead[:length]
            if not all(t.text.isalpha() for t in span) or span[-1].text in _FILLERS:
                continue
            said = [t.text for t in span if t.text not in _FILLERS]
            lead = "".join(map(stem, said[:-1]))
            for last in _stems(said[-1]):
                ids = self._ids.get(lead + last)
                if ids:
                    phrase = " ".join(t.text for t in span)
                    return Mention(frozenset(ids), first.start, span[-1].end, phrase), length
        near = self._near.one(first.text) if spelling else None
        if near is None:
            return None, 1
        id, meant = near
        return Mention(frozenset([id]), first.start, first.end, first.text, meant), 1


def _stems(word: str) -> list[str]:
    """The stem, and those of the verb in `dethatcher`, `aerator`, `aeration`, `aerification`."""
    found = [stem(word)]
    for ending, instead in _ENDINGS:
        if word.endswith(ending):
            found.append(stem(word.removesuffix(ending) + instead))
            break
    for ending in _AGENT_ENDINGS:
        rest = word.removesuffix(ending)
        if rest != word and len(rest) > 3:
            found.append(stem(rest))
            break
    return found
