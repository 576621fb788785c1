"""Known long words with one letter wrong."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from advisor.records.note_words import stem

_SHORTEST = 7
_SHORTEST_STEM = 5
_SHORTEST_ASKED = 5
# One letter from a name of ours, and another word altogether.
_OTHER_WORDS = frozenset(
    {"overfeed", "overfeeds", "overfeeding", "oversee", "oversees", "overseen", "overseer"}
    | {"hatched", "hatches", "hatching", "scarily", "berated", "berates", "berating"}
)


class NearWords:
    """Finds the one id whose name differs from a word by a single slip of the pen."""

    def __init__(self, words: Mapping[str, Iterable[str]]) -> None:
        """`words` maps each one-word name to the ids that bear it."""
        self._words = sorted(words)
        self._forms: dict[str, tuple[str, frozenset[str]]] = {}
        for word, ids in words.items():
            if len(stem(word)) < _SHORTEST_STEM:
                continue
            for form in _forms(word):
                if len(form) >= _SHORTEST:
                    before = self._forms.get(form, (word, frozenset()))[1]
                    self._forms[form] = (form, before | frozenset(ids))

    def one(self, word: str) -> tuple[str, str] | None:
        """The id and the word meant, or None if no id or several are one slip away."""
        if len(word) < _SHORTEST or word in _OTHER_WORDS:
            return None
        near = [found for form, found in self._forms.items() if one_slip(word, form)]
        ids = frozenset[str]().union(*(ids for _, ids in near))
        return (next(iter(ids)), near[0][0]) if len(ids) == 1 else None

    def like(self, word: str) -> str:
        """A name one slip from a word too short to be taken for it unasked, or nothing."""
        if len(word) < _SHORTEST_ASKED or word in _OTHER_WORDS:
            return ""
        return next((w for w in self._words if one_slip(word, w)), "")


def one_slip(said: str, meant: str) -> bool:
    """Whether one letter is added, missing, wrong or swapped with its neighbour."""
    if said == meant or abs(len(said) - len(meant)) > 1:
        return False
    at = next((i for i, (a, b) in enumerate(zip(said, meant, strict=False)) if a != b), None)
    if at is None:
        return True
    a, b = said[at:], meant[at:]
    swapped = len(a) > 1 and a[:2] == b[1::-1] and a[2:] == b[2:]
    return a[1:] == b or a == b[1:] or a[1:] == b[1:] or swapped


def _forms(word: str) -> set[str]:
    """The word with the endings that keepers give it."""
    base = word.removesuffix("ing")
    short = base.removesuffix("e")
    past = f"{base[:-1]}ied" if base.endswith("y") else f"{short}ed"
    return {word, base, f"{base}s", f"{short}ing", past}
