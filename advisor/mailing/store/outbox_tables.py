"""The outbox's tables. Moments are seconds since 1970 in UTC."""

from __future__ import annotations

from sqlalchemy import (
    JSON,
    Boolean,
    Column,
    Float,
    ForeignKey,
    Index,
    Integer,
    String,
    Table,
    Text,
)

from advisor.mailing.store.tables import METADATA

#: An edition on its way. identity: the list's sender as it stood then. phase: canary (only the
#: share that goes first), open, paused. dated: the Date of every mail.
run = Table(
    "mail_run",
    METADATA,
    Column("edition_id", ForeignKey("edition.id"), primary_key=True, autoincrement=False),
    Column("identity", JSON, nullable=False),
    Column("dated", Float, nullable=False),
    Column("expires", Float, nullable=False),
    Column("phase", String(10), nullable=False),
    Column("resume_as", String(10), nullable=False),
    Column("why_paused", Text, nullable=False, default=""),
    # Since the editor last said to go on: tries that ended badly, and mails sent before that word.
    Column("bad_ends", Integer, nullable=False, server_default="0"),
    Column("sent_before", Integer, nullable=False, server_default="0"),
)

#: One reader's mail of one run; its address is the reader's, so that erasing a reader erases it.
mail = Table(
    "mail_out",
    METADATA,
    # One copy, one row: a reader cannot get two mails of one edition.
    Column("copy_id", ForeignKey("copy.id", ondelete="CASCADE"), primary_key=True),
    Column("edition_id", ForeignKey("mail_run.edition_id"), nullable=False),
    Column("message_id", String(255), nullable=False, unique=True),
    Column("canary", Boolean, nullable=False),
    Column("state", String(10), nullable=False, default="ready"),
    Column("owner", String(100), nullable=False, default=""),
    Column("until", Float, nullable=False, default=0.0),
    Column("next_at", Float, nullable=False, default=0.0),
    Column("began", Float, nullable=False, default=0.0),
    # The mail server of the last try; only its log tells of that try.
    Column("server", String(300), nullable=False, server_default=""),
    Column("attempts", Integer, nullable=False, default=0),
    Column("code", Integer, nullable=False, default=0),
    Column("said", Text, nullable=False, default=""),
    Index("mail_out_due", "edition_id", "state", "next_at"),
)
