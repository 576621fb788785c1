"""Tables for what readers fetch: calendars, the links to them, and public pages."""

from __future__ import annotations

from sqlalchemy import (
    Boolean,
    Column,
    ForeignKey,
    Integer,
    LargeBinary,
    String,
    Table,
    Text,
)

from advisor.mailing.store.tables import METADATA

#: The events of one edition's calendar, for all readers whose copies name its line.
season = Table(
    "season",
    METADATA,
    Column("edition_id", ForeignKey("edition.id"), primary_key=True, autoincrement=False),
    Column("line", String(64), primary_key=True),
    # JSON, packed.
    Column("events", LargeBinary, nullable=False),
)

#: What of an edition may be shown to everybody: digests that hold nothing of one reader. shown: set
#: when the edition is approved, and those that are not to be shown are deleted.
page = Table(
    "page",
    METADATA,
    Column("id", Integer, primary_key=True),
    Column("edition_id", ForeignKey("edition.id"), nullable=False, index=True),
    Column("content_key", String(64), nullable=False),
    Column("place", Text, nullable=False),
    Column("grass", Text, nullable=False),
    Column("region", String(16), nullable=False),
    Column("units", String(8), nullable=False),
    # The frozen digest, packed.
    Column("html", LargeBinary, nullable=False),
    Column("shown", Boolean, nullable=False, default=False),
)

#: A reader's link to the calendar, once it has been taken back or renewed; before that there is
#: no row, and its number is 0.
calendar_link = Table(
    "calendar_link",
    METADATA,
    Column(
        "reader_id", ForeignKey("reader.id", ondelete="CASCADE"), primary_key=True,
        autoincrement=False,
    ),
    Column("number", Integer, nullable=False),
    Column("works", Boolean, nullable=False),
)  # fmt: skip
