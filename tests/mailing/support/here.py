"""In place of worker processes, which start slowly: for tests that are not about them."""

from __future__ import annotations

from advisor.mailing.letters.batch import compose_share


class Here:
    """Shares are composed in this process."""

    crashes = 0

    def run(self, shares):
        return ((share, compose_share(share)) for share in shares)
