"""`advisor mail send` and `status`: from a list's folder to its edition on its way."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from pathlib import Path

from advisor.base.commands import command, shell_folder
from advisor.base.problems import BadInput, Place
from advisor.base.record import replace
from advisor.mailing.mails.identity import ListIdentity
from advisor.mailing.mails.list_file import read_list_file
from advisor.mailing.mails.tokens import key_from_environment
from advisor.mailing.outbox.policy import Policy
from advisor.mailing.outbox.run import Status, close_if_done, go_on, put_on_its_way, status_of
from advisor.mailing.outbox.sender import Rules, Sender
from advisor.mailing.outbox.server_settings import ServerSettings, server_from_environment
from advisor.mailing.returns.bounces_text import MEANS
from advisor.mailing.store.list_store import store_of
from advisor.mailing.store.newest import newest_edition
from advisor.mailing.store.store import Store
from advisor.mailing.use_cases.dry_run import checked_share

#: What each state means, in the order in which they are shown.
MEANINGS = {
    "sent": "taken by the mail server",
    "ready": "waiting for the first or the next try",
    "claimed": "in the hands of a sender",
    "sending": "on the wire",
    "unknown": "interrupted; may or may not have been taken",
    "failed": "refused for good, see the replies",
    "suppressed": "left the list before it was sent",
    "expired": "too late, not sent",
}


_UNKNOWN = (
    "Unknown ones may have reached their readers. What to do: with the mail server's log in a file",
    "mail.log,",
    "  '{by_log}'",
    "looks them up in it; without a log, ask who runs the server whether it took them.",
    "Only if you are sure that the server took none,",
    "  '{again}'",
    f"sends them again, up to {Rules().tries} tries in all; whoever has the mail already gets it "
    "twice.",
)


def send_edition(
    folder: Path,
    *,
    canary: float = 0.0,
    rest: bool = False,
    interrupted: Policy | None = None,
    log: Path | None = None,
    wait: bool = True,
    told: Callable[[str], None] = print,
) -> Status:
    """Send the newest approved edition, or go on with it; how it stands afterwards.

    canary: the share that goes first. rest: the word for all others, or the end of a pause.
    interrupted: the default asks the log if one is given, and else holds.
    """
    checked_share(canary)
    policy = interrupted or (Policy.reconcile if log else Policy.hold)
    if policy is Policy.reconcile and log is None:
        raise BadInput.at(Place("--log"), "is missing; 'reconcile' asks the mail server's log")
    identity, key, server = (
        read_list_file(folder),
        key_from_environment(),
        server_from_environment(),
    )
    store = store_of(folder, new=False)
    try:
        rules = replace(Rules(), interrupted=policy, log=log)
        return send_newest(
            store, identity, key, server, rules, shown_as=str(folder), canary=canary, rest=rest,
            wait=wait, told=told,
        )  # fmt: skip
    finally:
        store.dispose()


def send_newest(
    store: Store,
    identity: ListIdentity,
    key: bytes,
    server: ServerSettings,
    rules: Rules,
    *,
    shown_as: str,
    canary: float = 0.0,
    rest: bool = False,
    wait: bool = True,
    told: Callable[[str], None] = print,
) -> Status:
    """`send_edition` with everything at hand that it reads from files and the environment."""
    # Never an older one: an edition that was passed over is stale.
    edition = newest_edition(store, ("approved", "sending", "done"))
    if edition is None:
        raise BadInput.at(Place(shown_as), "has no approved edition; nothing is sent before")
    done = status_of(store, edition) if newest_edition(store, ("done",)) == edition else None
    if done is not None:
        return done
    new = put_on_its_way(store, edition, identity, key, canary=canary)
    told(f"{new} mails put on their way" if new else "No new mails; going on with what is left")
    if rest:
        go_on(store, edition)
    Sender(store, edition, server, key, rules).run(wait=wait)
    close_if_done(store, edition)
    status = status_of(store, edition)
    assert status is not None
    return status


def edition_status(folder: Path) -> Status:
    """How the newest edition stands. Raises `BadInput` if none was put on its way."""
    store = store_of(folder, new=False)
    try:
        edition = newest_edition(store, ("sending", "done"))
        status = status_of(store, edition) if edition is not None else None
    finally:
        store.dispose()
    if status is None:
        raise BadInput.at(Place(str(folder)), "has no edition on its way yet")
    return status


def status_text(status: Status, now: float, folder: Path) -> str:
    """The truth in one screen. folder: the list's, as the commands name it."""
    of_list = shell_folder(folder)
    bounces = command("mail", "bounces", of_list)
    lines = [f"{status.copies} mails. {_headline(status, now, of_list)}", ""]
    for state, meaning in MEANINGS.items():
        if status.counts[state] or state in ("sent", "ready"):
            lines.append(f"{status.counts[state]:>9}  {state:<10}  {meaning}")
    if status.replies:
        lines += ["", "What the server said of those not sent:"]
        lines += [f"{n:>9}  {code or '–'}: {text[:60]}" for code, text, n in status.replies]
    if status.came_back:
        lines += ["", f"What came back, as far as '{bounces}' has read it:"]
        lines += [
            f"{n:>9}  {kind:<10}  {MEANS[kind]}" for kind, n in sorted(status.came_back.items())
        ]
    if status.held:
        lines += ["", f"{status.held:,} bounces are held: '{bounces}' says why."]
    if status.counts["unknown"]:
        by_log = command("mail", "send", of_list, "--log", "mail.log")
        again = command("mail", "send", of_list, "--interrupted", "resend")
        lines += ["", *(line.format(by_log=by_log, again=again) for line in _UNKNOWN)]
    return "\n".join(lines) + "\n"


def _headline(status: Status, now: float, of_list: str) -> str:
    rest = command("mail", "send", of_list, "--rest")
    open_ones = sum(status.counts[s] for s in ("ready", "claimed", "sending"))
    if status.phase == "paused":
        return f"PAUSED: {status.why_paused}. Mend it with the mail server first, then '{rest}'."
    if not open_ones:
        return "Nothing is left to send."
    until = dt.datetime.fromtimestamp(status.expires, dt.UTC)
    late = f"Not sent after {until:%d %b %H:%M} UTC."
    if status.phase == "canary":
        return (
            f"Only the first share of {status.canary} goes out; the rest waits for '{rest}'. {late}"
        )
    if status.next_at is not None and status.next_at > now:
        return f"Next try in {(status.next_at - now) / 60:.0f} min. {late}"
    return f"{open_ones} still to go. {late}"
