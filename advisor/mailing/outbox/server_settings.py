"""Which mail server to use and how to log in: from the environment or from files, never typed."""

from __future__ import annotations

import ipaddress
import os
import socket
from typing import Literal, cast

from advisor.base.problems import BadInput, Place
from advisor.base.record import Record
from advisor.mailing.mails.tokens import secret

Security = Literal["starttls", "tls", "none"]


class ServerSettings(Record, frozen=True):
    """A mail server. security: none is for this machine alone. Times are in seconds.

    patience: RFC 5321 section 4.5.3.2 asks for 5 minutes on each command; after_dot: for 10 minutes
    there, since a client that leaves earlier makes doubles.
    """

    host: str
    port: int
    security: Security
    user: str = ""
    password: str = ""
    patience: float = 300.0
    after_dot: float = 600.0

    @property
    def name(self) -> str:
        """The same on every machine that hands its mails to this server; another for each other."""
        host = socket.gethostname() if _here(self.host) else self.host
        return f"{host.rstrip('.').lower()}:{self.port}"

    def __repr__(self) -> str:
        return f"ServerSettings({self.host}:{self.port}, {self.security})"


def server_from_environment() -> ServerSettings:
    """ADVISOR_SMTP_HOST, _PORT, _SECURITY, _USER, and _PASSWORD or _PASSWORD_FILE.

    Raises `BadInput` for what is missing, or for a login or a far server without encryption.
    """
    host = os.environ.get("ADVISOR_SMTP_HOST", "localhost").strip()
    security = os.environ.get("ADVISOR_SMTP_SECURITY", "none" if _here(host) else "starttls")
    if security not in ("starttls", "tls", "none"):
        what = f"'{security}' is unknown; wanted starttls, tls or none"
        raise BadInput.at(Place("ADVISOR_SMTP_SECURITY"), what)
    usual = {"starttls": "587", "tls": "465", "none": "25"}[security]
    port = os.environ.get("ADVISOR_SMTP_PORT", usual)
    if not (port.isascii() and port.isdecimal() and 0 < int(port) < 65536):
        raise BadInput.at(Place("ADVISOR_SMTP_PORT"), f"'{port}' is no port; wanted 1 to 65535")
    user = os.environ.get("ADVISOR_SMTP_USER", "")
    if security == "none" and (user or not _here(host)):
        what = "'none' would show the mails or the password to everyone on the way; use starttls"
        raise BadInput.at(Place("ADVISOR_SMTP_SECURITY"), what)
    password = secret("ADVISOR_SMTP_PASSWORD") if user else ""
    return ServerSettings(host, int(port), cast(Security, security), user, password)


def _here(host: str) -> bool:
    """Whether the server runs on this machine."""
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"
