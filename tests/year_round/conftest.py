"""The rule book, read once, and a folder for the weather files of the climates."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from advisor.rulebook.model import RuleBook
from advisor.rulebook.read_rulebook import read_rulebook

sys.path.insert(0, str(Path(__file__).parent))  # for grid and its neighbours


@pytest.fixture(scope="session")
def book() -> RuleBook:
    return read_rulebook(cache=False)


@pytest.fixture(scope="session")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("climates")
