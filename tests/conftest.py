"""For all tests: samples of large grids, one rule book, and examples that nobody times.

A busy machine is slow, not wrong. How fast things are is measured by docs/benchmarks, as ratios.
"""

import gc

import one_book
from hypothesis import HealthCheck, settings

pytest_plugins = ["sampling"]

settings.register_profile("untimed", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("untimed")
one_book.share()


def pytest_collection_finish() -> None:
    # What is loaded now stays for the whole run; looking for rubbish in it takes time.
    gc.collect()
    gc.freeze()
