"""A sender killed at any moment (SIGKILL), against a real SMTP server with faults.

RFC 5321 section 4.5.3.2.6 says that a line lost after the dot can make doubles. So each policy is
held to its own promise, counted in the server's journal.
"""

from __future__ import annotations

import tempfile
from pathlib import Path

import pytest
from kills import REFUSED, kill_often

# Memory, where there is any, so that a slow disk does not make the test slow.
MEMORY = "/dev/shm" if Path("/dev/shm").is_dir() else None
KILLS, READERS, FAULTS = 30, 150, 1


# Two on PostgreSQL start slowly: two more seeds of them are left to docs/benchmarks/kill_sender.py.
@pytest.mark.slow
@pytest.mark.sample(3)
@pytest.mark.parametrize(
    ("kept", "senders", "seed"),
    [("SQLite", 1, 1), ("SQLite", 1, 2), ("SQLite", 1, 3), ("PostgreSQL", 2, 1)],
)
@pytest.mark.parametrize("policy", ["reconcile", "hold", "resend"])
def test_what_each_policy_promises(request, policy, seed, kept, senders):
    url = request.getfixturevalue("cluster").database() if kept == "PostgreSQL" else ""
    with tempfile.TemporaryDirectory(dir=MEMORY) as folder:
        result = kill_often(
            Path(folder), policy, KILLS, seed, readers=READERS, faults=FAULTS,
            senders=senders, url=url,
        )  # fmt: skip
    assert result.kills >= KILLS * 0.8
    # Enough of them hit a mail on the wire, the only moment that can double or lose one.
    assert result.struck >= 3
    assert sum(result.states.values()) == READERS
    assert result.lost == 0
    assert result.wrong == 0
    # Under "hold" a refusal that a kill cut short is left to a person, like any other mail.
    assert result.states["failed"] + result.undecided == len(REFUSED) * FAULTS
    if policy != "resend":
        assert result.doubles == 0
    if policy != "hold":
        assert result.unknown == 0
