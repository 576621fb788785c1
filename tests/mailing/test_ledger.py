"""The mail server's log: recorded ones of a real Postfix 3.7 (tests/data/postfix), and lines in
their form (syslog(3), RFC 3339)."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from advisor.base.problems import BadInput
from advisor.mailing.outbox.ledger import Ledger, parse_ledger, read_ledger

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
    line(at(3), "smtpd[2]: 5F2A: client=localhost[127.0.0.1]"),
    line(at(3), "cleanup[3]: 5F2A: message-id=<broken-off@example.org>"),
    line(at(4), "smtpd[2]: lost connection after DATA (140 bytes) from localhost[127.0.0.1]"),
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


RECORDED = Path(__file__).parents[1] / "data" / "postfix"
YES, NO, OPEN = True, False, None
#: What the client was told, or what became of the mail in the queue, when the log was recorded.
CUT_OFF = {
    "plain-0": YES, "plain-1": YES, "mid": NO, "mid-rst": NO, "headers-only": NO,
    "dot-close": YES, "dot-rst": YES, "big-dot-rst": NO, "after-ok-mid-ok": YES,
    "after-ok-mid-broken": NO, "reject": NO, "hold": YES, "hold-broken": NO, "hold-open": YES,
    "toolarge": NO, "dot-hold-kill": YES, "never-sent": NO,
}  # fmt: skip
SLOW = {
    **{f"slow-{n}": YES for n in range(8)},
    "slow-cut-after-dot": YES, "slow-cut-in-text": NO, "slow-hold": YES,
}  # fmt: skip


def recorded(name, keep=lambda line: True):
    wanted = CUT_OFF if name == "cut_off" else SLOW
    lines = [one for one in (RECORDED / f"{name}.log").open() if keep(one)]
    year = dt.datetime(2026, 11, 30, tzinfo=dt.UTC)
    ledger = parse_ledger(lines, year, {f"<{one}@example.org>" for one in wanted})
    # Each began well after the log's first line and before its last.
    began = (ledger.first + ledger.last) / 2
    spanning = Ledger(ledger.accepted, ledger.unclear, began - 99, began + 99, ())
    return {one: spanning.became(f"<{one}@example.org>", began, 9.0) for one in wanted}


@pytest.mark.parametrize(("name", "truth"), [("cut_off", CUT_OFF), ("slow_queue", SLOW)])
def test_a_real_log_is_read_as_it_was(name, truth):
    assert recorded(name) == truth


@pytest.mark.parametrize(("name", "truth"), [("cut_off", CUT_OFF), ("slow_queue", SLOW)])
def test_whatever_lines_a_real_log_lacks_no_mail_is_taken_for_another_end(name, truth):
    """A line that is late or lost may leave a mail open; it must not turn its end about."""
    lines = (RECORDED / f"{name}.log").read_text().splitlines(keepends=True)
    proofs = (" disconnect from", "queue active", "/smtp[", "lost connection", "reject:", "client=")
    left = [tuple(p for n, p in enumerate(proofs) if bits >> n & 1) for bits in range(64)]
    for missing in left:
        found = recorded(name, lambda one, gone=missing: not any(p in one for p in gone))
        for mail, became in found.items():
            assert became in (truth[mail], OPEN), (missing, mail)
    for cut in range(1, len(lines)):
        keep = set(lines[:cut])
        found = recorded(name, lambda one, keep=keep: one in keep)
        named = {mail for mail in found if f"message-id=<{mail}@" in "".join(lines[:cut])}
        for mail in named:
            assert found[mail] in (truth[mail], OPEN), (cut, mail)


def test_a_queue_id_without_more_is_not_known():
    """The queue manager lags, or the mail is held (HOLD): with a 250 both look like this."""
    held = "cleanup[3]: 6F2A: hold: header X-Hold: yes from localhost[127.0.0.1]; from=<b@x.org>"
    for more in ([], [line(at(5), held)]):
        lines = [*LINES, line(at(5), "cleanup[3]: 6F2A: message-id=<x@example.org>"), *more,
                 line(at(55), "smtpd[2]: connect from localhost[127.0.0.1]")]  # fmt: skip
        ledger = parse_ledger(lines, NOW, ASKED)
        assert ledger.became("<x@example.org>", at(5).timestamp()) is None
        # An earlier try's open end says nothing of a later one.
        assert ledger.became("<x@example.org>", at(20).timestamp()) is False


def test_a_text_that_broke_in_a_talk_with_good_ones_is_told_from_them():
    lines = [
        *LINES[:2],
        line(at(5), "smtpd[2]: 7A: client=localhost[127.0.0.1]"),
        line(at(5), "cleanup[3]: 7A: message-id=<one@example.org>"),
        line(at(5), "smtpd[2]: 7B: client=localhost[127.0.0.1]"),
        line(at(5), "cleanup[3]: 7B: message-id=<x@example.org>"),
        line(at(6), "smtpd[2]: timeout after DATA (79 bytes) from localhost[127.0.0.1]"),
        line(at(6), "smtpd[2]: disconnect from localhost[127.0.0.1] ehlo=1 data=1/2 commands=6/7"),
        line(at(55), "smtpd[2]: connect from localhost[127.0.0.1]"),
    ]
    ledger = parse_ledger(lines, NOW, ASKED)
    assert ledger.became("<one@example.org>", at(5).timestamp()) is None
    assert ledger.became("<x@example.org>", at(5).timestamp()) is False
