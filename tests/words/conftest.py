"""Every word of every vocabulary, through every command: the runner and the rule book."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from advisor.rulebook.model import RuleBook
from advisor.rulebook.read_rulebook import read_rulebook

sys.path.insert(0, str(Path(__file__).parent))  # for every_command and its neighbours


@pytest.fixture(scope="session")
def book() -> RuleBook:
    return read_rulebook(cache=False)
