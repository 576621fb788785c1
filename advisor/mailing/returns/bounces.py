"""Reading what came back: whose it is, what follows, and one report of it all.

Only what is signed is believed: the code in the bounce address, the Message-ID of a mail of ours,
or the token in a wish to leave. An address that a report merely names proves nothing.
"""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from hashlib import sha256
from pathlib import Path

from advisor.mailing.mails.tokens import Forged, read_leaving_token, reader_of_bounce
from advisor.mailing.outbox.outbox import Outbox
from advisor.mailing.returns.held_bounces import Held, act_on_bounces, held_bursts
from advisor.mailing.returns.mail_folder import mails_in
from advisor.mailing.returns.read_report import Report, What, read_report
from advisor.mailing.returns.report_counts import (
    Known,
    by_id,
    by_message_id,
    count_report,
    editions_with_ours,
    mark_acted_on,
    ours_of,
    refused_mails,
)
from advisor.mailing.returns.status_codes import Code, Kind, find_code, meaning_of
from advisor.mailing.store.store import Store

OURS_LEAST, OURS_SHARE = 5, 0.05
"""A run pauses when so many readers' mails, and this share of those sent, come back for a reason
that lies with us (our choice)."""
_WORST_FIRST = (Kind.HARD, Kind.OURS, Kind.SOFT)
_REFUSED = Code(5, 0, 0)
_NOT_KEPT = {What.NOTICE: "notices", What.RECEIPT: "receipts", What.ANSWER: "answers"}


@dataclass
class Bounces:
    """What a reading found. mails: in the folders. refused: at once by our server, new ones.

    counts: new ones by kind; reasons: by kind, code and what it means. suppressed: readers by kind.
    before: counted at an earlier reading. gone: about readers who are erased. ignored: by sort.
    untrusted: name and subject of those not signed by us. unclear: name, subject and why. paused:
    what was or must be held up because the fault is ours. held: bursts that wait for a word.
    """

    mails: int = 0
    refused: int = 0
    counts: Counter[str] = field(default_factory=Counter)
    reasons: Counter[tuple[str, str, str]] = field(default_factory=Counter)
    suppressed: Counter[str] = field(default_factory=Counter)
    before: int = 0
    gone: int = 0
    ignored: Counter[str] = field(default_factory=Counter)
    untrusted: list[tuple[str, str]] = field(default_factory=list)
    unclear: list[tuple[str, str, str]] = field(default_factory=list)
    paused: list[str] = field(default_factory=list)
    held: list[Held] = field(default_factory=list)


def read_bounces(
    store: Store, list_id: str, key: bytes, folders: Iterable[Path], today: dt.date
) -> Bounces:
    """Count what lies in the folders, and what the mail server refused at once; each thing once.

    Raises `BadInput` for a folder that cannot be read.
    """
    found = Bounces()
    for one in refused_mails(store):
        # A server that gives no enhanced code has not said why (RFC 5321 section 4.2.3, 550).
        code = find_code(one.said) or _REFUSED
        _count(store, found, _hash("refused", one.key), one.known, code, today)
    found.refused = sum(found.counts.values())
    for folder in folders:
        for name, raw in mails_in(folder):
            found.mails += 1
            _take(store, found, list_id, key, f"{folder.name}/{name}", raw, today)
    found.suppressed += act_on_bounces(store)
    found.held = held_bursts(store)
    found.paused = _pause(store)
    return found


def _take(
    store: Store, found: Bounces, list_id: str, key: bytes, name: str, raw: bytes, today: dt.date
) -> None:
    told = read_report(raw)
    if told.what in _NOT_KEPT:
        found.ignored[_NOT_KEPT[told.what]] += 1
        return
    if told.what is What.UNCLEAR:
        found.unclear.append((name, told.subject, told.why))
        return
    try:
        reader = who_it_is_about(store, list_id, key, told)
    except Forged:
        found.untrusted.append((name, told.subject))
        return
    if reader is None:
        found.gone += 1
        return
    own = told.message_id or sha256(raw).hexdigest()
    named = _hash(told.what.value, own, str(reader.reader_id))
    if told.what is What.FAILURE:
        _count(store, found, named, reader, _code_for(told, reader), today)
    else:
        _put_down(store, found, named, reader, told.what.value, "", today)


def who_it_is_about(store: Store, list_id: str, key: bytes, told: Report) -> Known | None:
    """The reader of a report; None if it has been erased.

    Raises `Forged` if nothing in it is signed by us, or two signatures name two readers.
    """
    if told.what is What.LEAVE:
        of_list, signed = read_leaving_token(key, told.token)
        if of_list != list_id:
            raise Forged
        return by_id(store, int(signed))
    codes = {_signed(key, list_id, address) for address in told.tagged}
    readers = codes - {None}
    if len(readers) > 1 or (codes and not readers):
        raise Forged
    mail = by_message_id(store, told.returned_id) if told.returned_id else None
    if mail is None and not readers:
        raise Forged
    if mail is not None and readers and readers != {mail.reader_id}:
        raise Forged
    return mail or by_id(store, next(id for id in readers if id is not None))


def _signed(key: bytes, list_id: str, address: str) -> int | None:
    try:
        # Some servers change the case of a local part; ours has lower-case letters only.
        return int(reader_of_bounce(key, list_id, address.lower()))
    except Forged:
        return None


def _code_for(told: Report, reader: Known) -> Code:
    """Of several recipients the reader's own; where none is named so, the gravest."""
    own = [one for one in told.failed if reader.address.lower() in one.addresses]
    return min(
        (one.code for one in own or told.failed),
        key=lambda code: _WORST_FIRST.index(meaning_of(code).kind),
    )


def _count(
    store: Store, found: Bounces, named: str, reader: Known, code: Code, today: dt.date
) -> None:
    meaning = meaning_of(code)
    if _put_down(store, found, named, reader, meaning.kind.value, str(code), today):
        found.reasons[meaning.kind.value, str(code), meaning.says] += 1


def _put_down(
    store: Store, found: Bounces, named: str, reader: Known, kind: str, status: str, today: dt.date
) -> bool:
    new, suppressed = count_report(store, named, reader, kind, status, today)
    if not new:
        found.before += 1
        return False
    found.counts[kind] += 1
    if suppressed:
        found.suppressed[kind] += 1
    return True


def _pause(store: Store) -> list[str]:
    """Pause each edition under way too much of which comes back by our own fault."""
    said = []
    for edition_id in editions_with_ours(store):
        ours, out, under_way = ours_of(store, edition_id)
        if ours < OURS_LEAST or ours < OURS_SHARE * out:
            continue
        why = f"{ours} of {out} came back for policy, reputation or form, which is not the readers'"
        if under_way:
            Outbox(store, edition_id, "", 0.0).pause(why)
            said.append(f"PAUSED: {why}. Look at the codes and mend it; then send the rest.")
        else:
            said.append(f"{why}. The edition is out already; mend it before the next one.")
        mark_acted_on(store, edition_id)
    return said


def _hash(*parts: str) -> str:
    return sha256("\0".join(parts).encode("utf-8", "surrogatepass")).hexdigest()
