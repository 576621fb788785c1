"""What to do with a mail whose sending was interrupted."""

from __future__ import annotations

from enum import StrEnum


class Policy(StrEnum):
    """What to do with a mail that may or may not have been accepted.

    reconcile: ask the mail server's log; no double and no loss where it can tell. hold: leave it
    to a person; no double. resend: send it again; no loss.
    """

    reconcile = "reconcile"
    hold = "hold"
    resend = "resend"
