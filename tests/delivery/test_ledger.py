"""The mail server's log, in the form of lines that Postfix 3.7 writes (syslog(3), RFC 3339)."""

from __future__ import annotations

import datetime as dt

import pytest

from advisor.base.problems import BadInput
from advisor.delivery.outbox.ledger import parse_ledger, read_ledger

ASKED = {f"<{name}@example.org>" for name in ("one", "two", "broken-off", "x", "never-seen")}
NOW = dt.datetime(2026, 9, 5, 12, 0, tzinfo=dt.UTC)


def at(minute, second=0):
    return dt.datetime(2026, 9, 5, 11, minute, second, tzinfo=dt.UTC)


def line(when, text):
    return f"{when.isoformat()} mx postfix/{text}"


LINES = [
    line(at(0), "master[1]: daemon started -- version 3.7.11"),
    line(at(1), "smtpd[2]: connect from localhost[127.0.0.1]"),
    line(at(2), "cleanup[3]: 4F2A: message-id=<one@example.org>"),
    line(at(2), "qmgr[4]: 4F2A: from=<b@example.org>, size=2, nrcpt=1 (queue active)"),
    line(at(3), "cleanup[3]: 5F2A: message-id=<broken-off@example.org>"),
    line(at(4), "qmgr[4]: 5F2A: removed"),
    line(at(50), "smtpd[2]: disconnect from localhost[127.0.0.1]"),
]


def test_only_a_queued_mail_was_accepted():
    ledger = parse_ledger(LINES, NOW, ASKED)
    assert ledger.became("<one@example.org>", at(2).timestamp()) is True
    assert ledger.became("<broken-off@example.org>", at(3).timestamp()) is False
    assert ledger.became("<never-seen@example.org>", at(10).timestamp()) is False


def test_a_log_that_does_not_reach_the_moment_tells_nothing():
    ledger = parse_ledger(LINES, NOW, ASKED)
    assert ledger.became("<x@example.org>", at(55).timestamp()) is None
    assert ledger.became("<x@example.org>", at(50).timestamp()) is None
    before = at(0).timestamp() - 60
    assert ledger.became("<x@example.org>", before) is None


def test_a_server_that_was_started_anew_may_have_lost_lines():
    again = [*LINES, line(at(20), "master[9]: daemon started -- version 3.7.11"),
             line(at(55), "smtpd[2]: connect from localhost[127.0.0.1]")]  # fmt: skip
    ledger = parse_ledger(again, NOW, ASKED)
    assert ledger.became("<x@example.org>", at(10).timestamp()) is None
    assert ledger.became("<x@example.org>", at(30).timestamp()) is False
    assert ledger.became("<one@example.org>", at(2).timestamp()) is True


def test_a_queue_id_that_is_used_again_belongs_to_its_last_mail():
    again = [*LINES, line(at(51), "cleanup[3]: 4F2A: message-id=<two@example.org>")]
    assert "<two@example.org>" not in parse_ledger(again, NOW, ASKED).accepted


def test_only_what_was_asked_for_is_kept():
    """A log of a million mails must not lie in memory; others still take their queue ids."""
    assert parse_ledger(LINES, NOW, {"<x@example.org>"}).accepted == frozenset()
    taken = [
        line(at(51), "cleanup[3]: 6F2A: message-id=<two@example.org>"),
        line(at(52), "cleanup[3]: 6F2A: message-id=<not-asked-for@example.org>"),
        line(at(53), "qmgr[4]: 6F2A: from=<b@example.org>, size=2, nrcpt=1 (queue active)"),
    ]
    assert "<two@example.org>" not in parse_ledger(taken, NOW, ASKED).accepted


def test_stamps_without_a_year_are_local_and_not_of_the_future():
    old = "Dec 31 23:59:58 mx postfix/smtpd[2]: connect from localhost[127.0.0.1]"
    ledger = parse_ledger([old], dt.datetime(2027, 1, 1, 3, 0, tzinfo=dt.UTC), ASKED)
    assert dt.datetime.fromtimestamp(ledger.last, dt.UTC).year in (2026, 2027)
    assert ledger.last < dt.datetime(2027, 1, 2, tzinfo=dt.UTC).timestamp()
    assert ledger.last > dt.datetime(2026, 12, 30, tzinfo=dt.UTC).timestamp()


def test_the_turned_log_is_read_too(tmp_path):
    (tmp_path / "mail.log.1").write_text("\n".join(LINES[:4]) + "\n")
    (tmp_path / "mail.log").write_text("\n".join(LINES[4:]) + "\n")
    assert "<one@example.org>" in read_ledger(tmp_path / "mail.log", ASKED).accepted


@pytest.mark.parametrize("text", ["", "no time here\n"])
def test_a_log_without_times_is_refused(tmp_path, text):
    (tmp_path / "mail.log").write_text(text)
    with pytest.raises(BadInput, match="no line that begins with a time"):
        read_ledger(tmp_path / "mail.log", ASKED)
    with pytest.raises(BadInput, match="cannot be read"):
        read_ledger(tmp_path / "none.log", ASKED)
