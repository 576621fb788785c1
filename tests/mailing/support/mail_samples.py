"""An invented list and letter for the tests of mail."""

from __future__ import annotations

import datetime as dt

from advisor.mailing.letters.letter import Letter
from advisor.mailing.mails.identity import ListIdentity

KEY = b"an invented key, for tests alone: 0123456789"
DATED = dt.datetime(2026, 9, 4, 6, 0, tzinfo=dt.UTC)
IDENTITY = ListIdentity(
    list_id="lawn-week.example.org",
    name="The invented lawn week",
    sender="The invented lawn week",
    sender_address="week@example.org",
    reply_to="editor@example.org",
    postal_address="1 Invented Street, Nowhere",
    leave_url="https://lawn.example.org/leave",
    leave_mail="leave@example.org",
    bounces="bounces@example.org",
)
LETTER = Letter(
    "Lawn: this week, sow – by 15 Sep",
    "SOW\n\nSow now.\n.\n..a line of its own\nUnder 20 °C\n",
    '<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8"><title>Lawn</title></head>\n'
    "<body><main><h1>Sow</h1><p>Sow now.</p>\n<p>Under 20 °C</p></main></body></html>\n",
)
