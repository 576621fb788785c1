"""One connection to the mail server. The only module that speaks SMTP.

What went wrong is told by the phase in which it did: after the dot a lost line looks to smtplib
like any other, and there it is the one that can make a double.
"""

from __future__ import annotations

import smtplib
import ssl
from collections.abc import Callable

from advisor.mailing.outbox.replies import BROKEN, Phase, Reply
from advisor.mailing.outbox.server_settings import ServerSettings

_STOPS = (OSError, smtplib.SMTPException, ValueError)
MOST_REFUSALS = 9
"""On one connection. A server takes many for an attack: Postfix slows down at 10 and hangs up with
421 at 20 (postconf(5), smtpd_soft_error_limit and smtpd_hard_error_limit)."""


class Link:
    """A connection that is opened when first needed and after every break."""

    def __init__(self, settings: ServerSettings) -> None:
        self._settings = settings
        self._smtp: smtplib.SMTP | None = None
        self._refusals = 0

    def send(self, sender: str, to: str, message: bytes, begin: Callable[[], bool]) -> Reply | None:
        """Send one mail; the reply that ended it.

        begin: called when the server has taken sender and recipient, before the first byte of the
        text; the mail is not sent if it says no, and None is returned.
        """
        reply = self._open()
        if reply is not None:
            return reply
        assert self._smtp is not None
        smtp, phase = self._smtp, Phase.MAIL
        try:
            self._wait(self._settings.patience)
            code, text = smtp.mail(sender)
            if code == 250:
                phase = Phase.RCPT
                code, text = smtp.rcpt(to)
            if phase is Phase.RCPT and code in (250, 251):
                if not begin():
                    smtp.rset()
                    return None
                phase = Phase.DATA
                code, text = smtp.docmd("DATA")
                if code == 354:
                    phase = Phase.DOT
                    smtp.send(_dotted(message))
                    self._wait(self._settings.after_dot)
                    code, text = smtp.getreply()
            reply = Reply(phase, code if code > 0 else BROKEN, text.decode("utf-8", "replace"))
        except _STOPS as error:
            reply = Reply(phase, BROKEN, f"{type(error).__name__}: {error}")
        if reply.code in (BROKEN, 421):
            self.close()
        elif not 200 <= reply.code < 300:
            self._reset()
        return reply

    def show_up(self) -> None:
        """Connect anew, so that the server's log has a line of this moment."""
        self.close()
        self._open()

    def close(self) -> None:
        """Leave the server, politely if it still listens."""
        smtp, self._smtp = self._smtp, None
        self._refusals = 0
        if smtp is not None:
            try:
                if smtp.sock is not None:
                    smtp.sock.settimeout(2.0)
                    smtp.quit()
            except _STOPS:
                pass
            finally:
                smtp.close()

    def _open(self) -> Reply | None:
        """A connection, or the reply that refused it."""
        if self._smtp is not None:
            return None
        phase = Phase.CONNECT
        try:
            smtp = self._smtp = _unconnected(self._settings)
            code, text = smtp.connect(self._settings.host, self._settings.port)
            if code == 220:
                phase = Phase.GREET
                code, text = _greet(smtp, self._settings)
            if phase is Phase.CONNECT or code != 250:
                return self._refused(phase, code, text)
            if self._settings.user:
                phase = Phase.LOGIN
                smtp.login(self._settings.user, self._settings.password)
        except smtplib.SMTPResponseException as error:
            told = error.smtp_error
            raw = told if isinstance(told, bytes) else str(told).encode()
            return self._refused(phase, error.smtp_code, raw)
        except (smtplib.SMTPNotSupportedError, ssl.SSLError) as error:
            # No encryption, a certificate that is not the server's, no login: ours to mend.
            return self._refused(phase, 554, str(error).encode())
        except _STOPS as error:
            return self._refused(phase, BROKEN, f"{type(error).__name__}: {error}".encode())
        return None

    def _refused(self, phase: Phase, code: int, text: bytes) -> Reply:
        self.close()
        return Reply(phase, code if code > 0 else BROKEN, text.decode("utf-8", "replace"))

    def _wait(self, seconds: float) -> None:
        if self._smtp is not None and self._smtp.sock is not None:
            self._smtp.sock.settimeout(seconds)

    def _reset(self) -> None:
        self._refusals += 1
        try:
            if self._refusals >= MOST_REFUSALS or self._smtp is None or self._smtp.rset()[0] != 250:
                self.close()
        except _STOPS:
            self.close()


def _dotted(message: bytes) -> bytes:
    """The text with its dots doubled, and the line that ends it (RFC 5321 section 4.5.2)."""
    body = message if message.endswith(b"\r\n") else message + b"\r\n"
    stuffed = body.replace(b"\r\n.", b"\r\n..")
    return (b"." if stuffed.startswith(b".") else b"") + stuffed + b".\r\n"


def _unconnected(given: ServerSettings) -> smtplib.SMTP:
    if given.security == "tls":
        context = ssl.create_default_context()
        smtp: smtplib.SMTP = smtplib.SMTP_SSL(timeout=given.patience, context=context)
    else:
        smtp = smtplib.SMTP(timeout=given.patience)
    # smtplib checks the certificate against this name.
    smtp._host = given.host  # type: ignore[attr-defined]
    return smtp


def _greet(smtp: smtplib.SMTP, given: ServerSettings) -> tuple[int, bytes]:
    """EHLO, and again after STARTTLS, which must be there if it is asked for."""
    code, text = smtp.ehlo()
    if code == 250 and given.security == "starttls":
        code, text = smtp.starttls(context=ssl.create_default_context())
        if code == 220:
            code, text = smtp.ehlo()
    return code, text
