"""For all tests: the sample that is drawn, one rule book, and examples that nobody times.

A busy machine is slow, not wrong. How fast things are is measured by docs/benchmarks, as ratios.
"""

import gc
import os
from pathlib import Path

import one_book
import pytest
import sampling
from hypothesis import HealthCheck, settings

settings.register_profile("untimed", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("untimed")
one_book.share()


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--sample", type=int, help="run so many of the tests, drawn by TEST_SEED")


def pytest_configure() -> None:
    # Before the workers start, so that all of them draw the same.
    if not os.environ.get(sampling.SEED):
        os.environ[sampling.SEED] = sampling.seed_of_checkout(Path(__file__).parent)


@pytest.hookimpl(wrapper=True)
def pytest_collection_modifyitems(config, items):
    sampling.mark_the_rest_long(items)
    yield  # here `-m` leaves out what is long
    if config.option.sample is not None:
        sampling.keep_a_sample(config, items, config.option.sample)


def pytest_collection_finish() -> None:
    # What is loaded now stays for the whole run; looking for rubbish in it takes time.
    gc.collect()
    gc.freeze()


def pytest_terminal_summary(terminalreporter) -> None:
    terminalreporter.write_line(f"Samples drawn with {sampling.SEED}={sampling.seed()}")
