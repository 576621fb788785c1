"""For all tests: random examples are never judged by how long they take.

A busy machine is slow, not wrong. How fast things are is measured by docs/benchmarks, as ratios.
"""

from hypothesis import HealthCheck, settings

settings.register_profile("untimed", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("untimed")
