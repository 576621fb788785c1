"""One clear report of a reading of the bounce folder."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from advisor.base.commands import command, shell_folder
from advisor.mailing.mails.cells_text import shown
from advisor.mailing.returns.bounces import Bounces
from advisor.mailing.returns.held_bounces import Held
from advisor.mailing.returns.report_counts import SOFT_IN_A_ROW

MEANS = {
    "hard": "the address is of no use; not written to any more",
    "soft": f"may pass; after {SOFT_IN_A_ROW} editions in a row not written to any more",
    "ours": "policy, reputation or form: our fault, not the reader's",
    "complaint": "the reader called it abuse; not written to any more",
    "leave": "asked by mail to leave; not written to any more",
    "discarded": "part of a burst that the editor did not believe",
}
IGNORED = {
    "notices": "delays and other notices that are no failure",
    "receipts": "receipts (somebody's mail program has shown it)",
    "answers": "automatic answers",
}
MOST_SHOWN = 10


def bounces_text(found: Bounces, folder: Path) -> str:
    """What was read, what follows, and what a person should look at. folder: the list's."""
    lines = [
        f"{found.mails:,} mails read; {found.refused:,} new refusals at once by the mail server.",
        "",
        *_new(found),
        "",
        *_others(found),
        *_doubtful(found),
    ]
    for one in found.held:
        lines += ["", held_text(one, folder)]
    for said in found.paused:
        lines += ["", said]
    return "\n".join(lines) + "\n"


def held_text(one: Held, folder: Path) -> str:
    """What a burst is, and what the editor may say."""
    accept, discard = (
        command("mail", "bounces", shell_folder(folder), "--burst", word)
        for word in ("accept", "discard")
    )
    of = f"of {one.first_day}" if one.first_day else "that is not known"
    return (
        f"HELD: the edition {of} came back from {one.bad:,} of {one.out:,} readers as if their\n"
        "addresses were of no use. One fault of a mail server can look like this; ask there, and\n"
        f"look at the codes. {one.readers:,} readers stay on the list until you say what it was:\n"
        f"They are not written to any more: {accept}\n"
        f"They stay, and who was taken off for the same edition before comes back: {discard}"
    )


def _new(found: Bounces) -> Iterator[str]:
    for kind, says in MEANS.items():
        if number := found.counts[kind]:
            yield f"{number:>9,}  {kind:<10}  {says}"
        for (of, code, what), n in found.reasons.most_common():
            if of == kind:
                yield f"{n:>20,}  {code:<7} {what}"
    if not found.counts:
        yield "        0  new"
    number = found.suppressed.total()
    yield f"{number:>9,}  readers of these were on the list and will not be written to any more"


def _others(found: Bounces) -> Iterator[str]:
    yield f"{found.before:>9,}  counted before"
    yield f"{found.gone:>9,}  about readers who were erased"
    for sort, says in IGNORED.items():
        if number := found.ignored[sort]:
            yield f"{number:>9,}  ignored: {says}"


def _doubtful(found: Bounces) -> Iterator[str]:
    """Hostile names, subjects and causes are shown with their control characters escaped."""
    yield f"{len(found.untrusted):>9,}  not signed by this list, so not believed"
    yield f"{len(found.unclear):>9,}  not understood; look at them yourself"
    some = [*found.unclear, *((*one, "is not signed") for one in found.untrusted)]
    for name, subject, why in some[:MOST_SHOWN]:
        yield f"{'':11}{shown(name, 60)}: '{shown(subject)}' {shown(why, 80)}"
    if len(some) > MOST_SHOWN:
        yield f"{'':11}and {len(some) - MOST_SHOWN:,} more"
