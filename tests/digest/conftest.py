"""The demo lawn, written once for all digest tests."""

from __future__ import annotations

import pytest

from advisor.cases.open_folder import open_case
from advisor.demo.scenario import write_demo
from advisor.rulebook.read_rulebook import read_rulebook


@pytest.fixture(scope="session")
def demo_site(tmp_path_factory):
    return write_demo(tmp_path_factory.mktemp("demo"))


@pytest.fixture(scope="session")
def book():
    return read_rulebook(cache=False)


@pytest.fixture(scope="session")
def demo_lawn(demo_site, book):
    return open_case(demo_site, book)
