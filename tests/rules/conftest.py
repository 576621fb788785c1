"""The rule book as it stands in the files, read once, and the judges of its examples."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from advisor.decide.verdicts.example_judge import EngineExampleJudge
from advisor.rulebook.model import RuleBook
from advisor.rulebook.read_rulebook import read_rulebook

sys.path.insert(0, str(Path(__file__).parent))  # for changes


@pytest.fixture(scope="session")
def book() -> RuleBook:
    return read_rulebook(cache=False)


@pytest.fixture(scope="session")
def plain(book: RuleBook) -> EngineExampleJudge:
    return EngineExampleJudge(book.vocabulary, plain=True)


@pytest.fixture(scope="session")
def engine(book: RuleBook) -> EngineExampleJudge:
    return EngineExampleJudge(book.vocabulary)
