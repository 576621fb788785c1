"""How long to wait before the next try. The same seed gives the same waits."""

from __future__ import annotations

import random

from advisor.base.record import Record


class Backoff(Record, frozen=True):
    """Seconds. first doubles with each try up to longest; spread is the share drawn at random.

    The defaults suit a mail server of one's own, which takes over the long waits that RFC 5321
    section 4.5.4.1 asks for (30 minutes); our choice.
    """

    first: float = 60.0
    longest: float = 4 * 3600.0
    spread: float = 0.25

    def wait(self, attempt: int, seed: str) -> float:
        """The wait after the given number of tries (1 or more), for the mail named by the seed."""
        whole = min(self.first * 2.0 ** min(attempt - 1, 40), self.longest)
        draw = random.Random(f"{seed}\0{attempt}").uniform(-1.0, 1.0)
        return whole * (1.0 + self.spread * draw)
