"""The digest as a mail: text and HTML that say the same."""

from __future__ import annotations

from email.message import EmailMessage
from email.policy import SMTP

from advisor.base.problems import BadInput, Place


def digest_message(subject: str, text: str, html: str, sender: str = "", to: str = "") -> bytes:
    """An RFC 5322 message with a text and an HTML alternative, ready to be sent or opened.

    Raises `BadInput` for a header with control characters, which could smuggle in other headers.
    """
    message = EmailMessage(policy=SMTP)
    for name, value in (("Subject", subject), ("From", sender), ("To", to)):
        if any(ord(c) < 32 or ord(c) == 127 for c in value):
            raise BadInput.at(Place(f"the mail's {name}"), "holds a control character; remove it")
        if value:
            message[name] = value
    message["Auto-Submitted"] = "auto-generated"
    message.set_content(text)
    message.add_alternative(html, subtype="html")
    return message.as_bytes()
