"""The table of what came back: bounces, complaints, wishes to leave."""

from __future__ import annotations

from sqlalchemy import Boolean, Column, Date, ForeignKey, Index, Integer, String, Table, Text

from advisor.mailing.store.tables import METADATA

#: Mails that the server has taken, or may have.
GONE_OUT = ("sent", "unknown")

#: One report that was counted. Noise is not kept. A reader who is erased takes its reports along.
report = Table(
    "mail_report",
    METADATA,
    # A hash of the report's own id, so that it counts once however often its folder is read.
    Column("key", String(64), primary_key=True),
    Column("reader_id", Integer, ForeignKey("reader.id", ondelete="CASCADE"), nullable=False),
    # The edition that it is about, where that can be told.
    Column("edition_id", Integer, ForeignKey("edition.id")),
    # hard, soft, ours, complaint, leave or discarded (by the editor).
    Column("kind", String(10), nullable=False),
    Column("status", Text, nullable=False, default=""),
    # Of the kind 'ours': whether a run has been paused for it. Of 'hard' and 'soft': False while
    # the reader would be taken off the list for it and was not yet.
    Column("acted_on", Boolean, nullable=False, default=False),
    Column("counted_on", Date, nullable=False),
    Index("mail_report_reader", "reader_id", "edition_id"),
    Index("mail_report_edition", "edition_id", "kind"),
)
