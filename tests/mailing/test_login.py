"""TLS and login against a real server (aiosmtpd), with a certificate made for the test.

RFC 3207 (STARTTLS) and RFC 4954 (AUTH). What fails here is our own fault and marks nobody.
"""

from __future__ import annotations

import asyncio
import shutil
import ssl
import subprocess
import threading

import pytest
from aiosmtpd.smtp import SMTP, AuthResult

from advisor.mailing.outbox.replies import Outcome, Phase, classify
from advisor.mailing.outbox.server_settings import ServerSettings
from advisor.mailing.outbox.smtp_link import Link

pytestmark = pytest.mark.skipif(shutil.which("openssl") is None, reason="needs openssl")
PASSWORD = "an invented password"


class Keeps:
    """Keeps what it gets."""

    def __init__(self):
        self.got = []

    async def handle_DATA(self, server, session, envelope):  # noqa: N802
        self.got.append((session.ssl is not None, session.authenticated, envelope.content))
        return "250 2.0.0 taken"


def check(server, session, envelope, mechanism, given):
    good = given.login == b"me" and given.password == PASSWORD.encode()
    return AuthResult(success=good, handled=False)


@pytest.fixture(scope="module")
def certificate(tmp_path_factory):
    folder = tmp_path_factory.mktemp("certificate")
    command = ["openssl", "req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "2",
               "-subj", "/CN=localhost", "-addext", "subjectAltName=DNS:localhost",
               "-keyout", str(folder / "key.pem"), "-out", str(folder / "cert.pem")]  # fmt: skip
    subprocess.run(command, check=True, capture_output=True)
    return folder


@pytest.fixture
def server(certificate):
    """A server that wants encryption and a login; its port and what it got."""
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(certificate / "cert.pem", certificate / "key.pem")
    keeps, ready, loop = Keeps(), threading.Event(), asyncio.new_event_loop()
    found = []

    def work():
        asyncio.set_event_loop(loop)
        made = loop.run_until_complete(
            loop.create_server(
                lambda: SMTP(keeps, tls_context=context, require_starttls=True, auth_required=True,
                             authenticator=check, loop=loop),
                "127.0.0.1", 0,
            )
        )  # fmt: skip
        found.append(made.sockets[0].getsockname()[1])
        ready.set()
        loop.run_forever()

    threading.Thread(target=work, daemon=True).start()
    assert ready.wait(10)
    yield found[0], keeps.got
    loop.call_soon_threadsafe(loop.stop)


def send(port, **given):
    values = {"security": "starttls", "user": "me", "password": PASSWORD, **given}
    link = Link(ServerSettings("localhost", port, patience=10.0, after_dot=10.0, **values))
    reply = link.send(
        "b@example.org", "a@example.com", b"Subject: x\r\n\r\n.\r\n..\r\n", lambda: True
    )
    link.close()
    return reply


def test_it_is_encrypted_and_logged_in(server, certificate, monkeypatch):
    port, got = server
    monkeypatch.setenv("SSL_CERT_FILE", str(certificate / "cert.pem"))
    assert classify(send(port)) is Outcome.SENT
    assert got == [(True, True, b"Subject: x\r\n\r\n.\r\n..\r\n")]


def test_a_certificate_that_nobody_vouches_for_stops_the_run(server):
    port, got = server
    reply = send(port)
    assert reply.phase is Phase.GREET
    assert "CERTIFICATE_VERIFY_FAILED" in reply.text
    assert classify(reply) is Outcome.OURS
    assert got == []


def test_a_wrong_password_stops_the_run_and_is_not_told(server, certificate, monkeypatch):
    port, got = server
    monkeypatch.setenv("SSL_CERT_FILE", str(certificate / "cert.pem"))
    reply = send(port, password="wrong secret")
    assert (reply.phase, reply.code) == (Phase.LOGIN, 535)
    assert classify(reply) is Outcome.OURS
    assert "wrong secret" not in reply.text
    assert got == []


def test_a_server_that_wants_encryption_is_our_fault_without_it(server):
    port, _ = server
    reply = send(port, security="none", user="")
    assert classify(reply) is Outcome.OURS


def test_settings_do_not_show_the_password():
    shown = repr(ServerSettings("mx.example.org", 587, "starttls", "me", PASSWORD))
    assert PASSWORD not in shown
