"""A keeper's own digest as a mail to open or to forward; it goes to no list."""

from __future__ import annotations

from advisor.mailing.mails.message import digest_message
from advisor.render.digest.edition import Edition, show, subject_of
from advisor.render.digest.render import mail_html


def own_copy(edition: Edition) -> bytes:
    """The message, without sender and recipient."""
    return digest_message(subject_of(edition), show(edition, "text"), mail_html(edition.digest))
