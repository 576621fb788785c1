"""The tables of a mailing list: readers, who must not be written to, editions, letters, copies.

Tables of other rooms of the mailing (the outbox) join the same `METADATA`.
"""

from __future__ import annotations

from sqlalchemy import (
    JSON,
    Boolean,
    CheckConstraint,
    Column,
    Date,
    DateTime,
    Float,
    ForeignKey,
    Integer,
    LargeBinary,
    MetaData,
    String,
    Table,
    Text,
    UniqueConstraint,
    false,
)

from advisor.mailing.readers.reader import address_hash

METADATA = MetaData()

reader = Table(
    "reader",
    METADATA,
    Column("id", Integer, primary_key=True),
    # As written, for the mail; and case-folded, so that one person has one row.
    Column("address", String(320), nullable=False),
    Column("address_key", String(320), nullable=False, unique=True),
    # As in `suppression`, so that the database itself can tell who must not be written to.
    Column(
        "address_hash",
        String(64),
        nullable=False,
        default=lambda row: address_hash(row.get_current_parameters()["address_key"]),
    ),
    Column("name", Text, nullable=False, default=""),
    Column("latitude", Float, nullable=False),
    Column("longitude", Float, nullable=False),
    Column("place", Text, nullable=False),
    Column("country", String(2), nullable=False, default=""),
    Column("subdivision", String(6), nullable=False, default=""),
    Column("time_zone", Text, nullable=False, default=""),
    Column("grass", String(64), nullable=False),
    Column("area_m2", Float),
    Column("units", String(8), nullable=False),
    Column("permission_on", Date, nullable=False),
    Column("permission_source", Text, nullable=False),
    # Optional measurements: {fact: {"value": as written, "on": ISO date}}; and, under a name that
    # no fact has, the reader's wishes.
    Column("extra", JSON, nullable=False, default=dict),
    Column("created_on", Date, nullable=False),
    # The number of one who was erased is never given again: it stands in tokens that are out.
    sqlite_autoincrement=True,
)

suppression = Table(
    "suppression",
    METADATA,
    # SHA-256 of the case-folded address: enough to refuse it, and erasing a person leaves no name.
    Column("address_hash", String(64), primary_key=True),
    Column("reason", Text, nullable=False),
    Column("suppressed_on", Date, nullable=False),
)

#: Whom an editor or new consent brought back: why not to be written to before, why again.
readmitted = Table(
    "readmitted",
    METADATA,
    Column("id", Integer, primary_key=True),
    Column("address_hash", String(64), nullable=False, index=True),
    Column("reason", Text, nullable=False),
    Column("suppressed_on", Date, nullable=False),
    Column("why", Text, nullable=False),
    Column("readmitted_on", Date, nullable=False),
)

edition = Table(
    "edition",
    METADATA,
    Column("id", Integer, primary_key=True),
    Column("list_name", Text, nullable=False),
    Column("first_day", Date, nullable=False),
    Column("rulebook_hash", String(64), nullable=False),
    Column("state", String(16), nullable=False, default="draft"),
    Column("note", Text, nullable=False, default=""),
    Column("question", Text, nullable=False, default=""),
    Column("correction", Text, nullable=False, default=""),
    Column("reply_to", Text, nullable=False, default=""),
    Column("built_at", DateTime),
    Column("approved_at", DateTime),
    # Whether somebody looked at it since it was built.
    Column("seen", Boolean, nullable=False, server_default=false()),
    UniqueConstraint("list_name", "first_day"),
    CheckConstraint("state IN ('draft', 'approved', 'sending', 'done')", name="edition_state"),
)

# A digest, once for all who get the same. Nothing in it is ever changed.
letter = Table(
    "letter",
    METADATA,
    Column("id", Integer, primary_key=True),
    # Of the content key and the texts.
    Column("hash", String(64), nullable=False, unique=True),
    # Of all that went into it, so that an unchanged one is not made again.
    Column("content_key", String(64), nullable=False, index=True),
    Column("subject", Text, nullable=False),
    Column("text", Text, nullable=False),
    Column("html", Text, nullable=False),
    # Of the calendar that goes with it; empty in editions from before there were any.
    Column("line", String(64), nullable=False, server_default=""),
    # What it said of each job, packed; empty in letters from before any was compared with it.
    Column("said", LargeBinary, nullable=False, default=b""),
)

copy = Table(
    "copy",
    METADATA,
    Column("id", Integer, primary_key=True),
    Column("edition_id", ForeignKey("edition.id"), nullable=False),
    Column("reader_id", ForeignKey("reader.id", ondelete="CASCADE"), nullable=False, index=True),
    Column("letter_id", ForeignKey("letter.id"), nullable=False, index=True),
    # The frozen message, once it has been made; a retry sends these bytes.
    Column("message", LargeBinary),
    UniqueConstraint("edition_id", "reader_id"),
)
