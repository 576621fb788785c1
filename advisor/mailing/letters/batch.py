"""A share of an edition: some keys of one weather cell, and the work on it in a process."""

from __future__ import annotations

import datetime as dt
import time
from functools import lru_cache
from pathlib import Path

from advisor.base.problems import BadInput, Place
from advisor.base.record import Record, replace
from advisor.decide.verdicts.decision_cache import KeptRules
from advisor.mailing.letters.compose import Composer, Editor
from advisor.mailing.letters.letter import Letter
from advisor.mailing.letters.letter_key import LetterKey
from advisor.mailing.readers.weather_places import Cell, CellWeather, cell_weather
from advisor.rulebook.model import RuleBook
from advisor.rulebook.read_rulebook import read_rulebook

START_S, KEY_S = 60.0, 10.0
"""For the rules and the weather, and for each key; a set of decisions takes about a second."""


class Share(Record, frozen=True):
    """keys: of one cell, those that differ only in size next to each other."""

    folder: Path
    keys: tuple[LetterKey, ...]
    on: dt.date
    today: dt.date
    editor: Editor
    rulebook_hash: str


class Done(Record, frozen=True):
    """letters: for each key its digest, or what went wrong. seconds: of work."""

    letters: tuple[Letter | str, ...]
    decided: int
    seconds: float


def compose_share(share: Share) -> Done:
    """Compose all letters of a share. One that fails does not stop the others."""
    began = time.perf_counter()
    book = _book()
    if book.hash != share.rulebook_hash:
        raise BadInput.at(
            Place("the rule files"), "are others than those the build began with; build again"
        )
    cell, on, today = share.keys[0].cell, share.on, share.today
    composer = _composer(share.folder, cell, on, today, share.editor)
    before = composer.distinct
    letters: list[Letter | str] = []
    for key in share.keys:
        try:
            letters.append(composer.letter(key))
        except Exception as error:  # one reader's fault is told, not fatal
            letters.append(f"{type(error).__name__}: {error}")
    return Done(tuple(letters), composer.distinct - before, time.perf_counter() - began)


def longest(share: Share) -> float:
    """Seconds that the work on a share may take: many times what it does on a slow machine."""
    return START_S + KEY_S * len(share.keys)


def split(share: Share) -> list[Share]:
    """The share in two halves; one that holds a single key stays as it is."""
    half = len(share.keys) // 2
    if not half:
        return [share]
    return [replace(share, keys=share.keys[:half]), replace(share, keys=share.keys[half:])]


@lru_cache(maxsize=1)
def _book() -> RuleBook:
    return read_rulebook()


@lru_cache(maxsize=1)
def _composer(
    folder: Path, cell: Cell | None, on: dt.date, today: dt.date, editor: Editor
) -> Composer:
    """The next share is often of the same cell, whose weather is then known."""
    weather = cell_weather(folder, cell, today) if cell else CellWeather(None, None)
    return Composer(weather, _book(), on, today, editor, _rules())


@lru_cache(maxsize=1)
def _rules() -> KeptRules:
    """What this process has judged, of any cell."""
    return KeptRules(_book())
