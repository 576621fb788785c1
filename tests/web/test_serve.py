"""The pages as they run: `advisor mail serve`, uvicorn, a socket, and the sender beside it."""

from __future__ import annotations

import datetime as dt
import http.client
import os
import re
import signal
import socket
import subprocess
import sys
from contextlib import contextmanager
from email import message_from_bytes
from email.policy import default
from urllib.parse import urlsplit

import pytest
from kills import rules, send, server_process
from mail_samples import KEY
from typer.testing import CliRunner
from web_list import WEB, set_out

from advisor.base.problems import BadInput
from advisor.cli.main import app
from advisor.mailing.outbox.run import status_of
from advisor.mailing.store.edition_tables import copy_of, open_edition
from advisor.mailing.store.reader_tables import find_reader
from advisor.mailing.use_cases.as_sent import message_as_sent
from advisor.web.serve import serve_list

pytestmark = pytest.mark.slow


@contextmanager
def served(folder):
    """The port of the list's pages in a process of its own, and a way to its log."""
    command = [sys.executable, "-m", "advisor", "mail", "serve", str(folder), "--port", "0"]
    with subprocess.Popen(command, stderr=subprocess.PIPE, text=True, env=os.environ) as running:
        try:
            first = running.stderr.readline()
            yield int(re.search(r"port (\d+)", first)[1]), running
        finally:
            running.send_signal(signal.SIGINT)
            running.wait(10)


def ask(port, method, path, body=None, headers=None):
    line = http.client.HTTPConnection("127.0.0.1", port, timeout=20)
    line.request(method, path, body, headers or {})
    found = line.getresponse()
    read = found.read()
    line.close()
    return found, read


def test_from_the_mail_to_the_sender_that_skips(store, folder, book):
    edition = open_edition(store, "list", dt.date(2018, 9, 10), book.hash)
    ann = find_reader(store, "a@example.org")
    raw = message_as_sent(store, edition, ann, copy_of(store, edition.id, ann.id), WEB, KEY)
    mail = message_from_bytes(raw, policy=default)
    # RFC 8058 section 3.1: what a mail program reads, and what it sends.
    assert mail["List-Unsubscribe-Post"] == "List-Unsubscribe=One-Click"
    link = urlsplit(re.search(r"<(https://[^>]+)>", mail["List-Unsubscribe"])[1])
    body = mail["List-Unsubscribe-Post"]
    kind = {"Content-Type": "application/x-www-form-urlencoded"}
    with served(folder) as (port, running):
        looked, page = ask(port, "GET", link.path)
        head, nothing = ask(port, "HEAD", link.path)
        done, _ = ask(port, "POST", link.path, body, kind)
        ask(port, "GET", f"/{link.path.rpartition('/')[2]}")
        running.send_signal(signal.SIGINT)
        log = running.stderr.read()
    assert (looked.status, head.status, done.status, nothing) == (200, 200, 200, b"")
    # RFC 9110 section 9.3.2: the header of a HEAD is that of a GET.
    assert head.headers["content-length"] == str(len(page))
    assert {"server", "set-cookie", "location"}.isdisjoint(k.lower() for k in done.headers)
    assert "POST leave 200" in log
    assert "GET other 404" in log
    assert link.path.rpartition("/")[2][:10] not in log
    assert "Traceback" not in log

    set_out(store)
    with server_process(folder, 1) as port:
        send(folder, port, rules(folder, "hold"))
    journal = (folder / "journal").read_text()
    assert "a@example.org" not in journal
    assert "b@example.org" in journal
    counts = status_of(store, 1).counts
    assert (counts["suppressed"], counts["sent"]) == (1, 7)


def test_a_port_that_is_taken_and_one_that_is_none(folder):
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        number = taken.getsockname()[1]
        with pytest.raises(BadInput, match=f"127.0.0.1 port {number}: cannot be listened on"):
            serve_list(folder, "127.0.0.1", number, archive=True, told=print)
    with pytest.raises(BadInput, match="cannot be listened on"):
        serve_list(folder, "no such host", 0, archive=True, told=print)


def test_without_the_libraries(folder, monkeypatch):
    monkeypatch.setattr("advisor.cli.mail_web.find_spec", lambda name: None)
    done = CliRunner().invoke(app, ["mail", "serve", str(folder)])
    assert isinstance(done.exception, BadInput)
    assert str(done.exception) == (
        "advisor mail serve: needs libraries that are not installed; run: "
        "pip install 'turf-windows[web]'"
    )
