"""What an editor may do with a draft: approve it, once it is whole."""

from __future__ import annotations

from pathlib import Path

from advisor.base.commands import command, shell_folder
from advisor.base.dates import now_utc
from advisor.base.problems import BadInput, Place
from advisor.mailing.store.edition_tables import EditionRow, approve, copies_and_gaps
from advisor.mailing.store.store import Store


def approve_edition(store: Store, edition: EditionRow, folder: Path) -> int:
    """Approve a draft; returns the number of its copies. folder: the list's.

    Raises `BadInput` if it is no draft, was not built since its last change, lacks a reader, or
    nobody has looked at it.
    """
    place = Place(f"the edition of {edition.first_day}")
    if edition.state != "draft":
        raise BadInput.at(place, f"is {edition.state} already")
    copies, missing, surplus = copies_and_gaps(store, edition.id)
    if edition.built_at is None or missing or surplus:
        what = f"is not built as it stands ({missing:,} readers have no copy); build it (again)"
        raise BadInput.at(place, what)
    if not copies:
        raise BadInput.at(place, "has no readers")
    if not edition.seen:
        look = command("mail", "dry-run", shell_folder(folder), "--week", f"{edition.first_day}")
        what = f"was not looked at since it was built; '{look}' shows ten of its digests"
        raise BadInput.at(place, what)
    if not approve(store, edition.id, now_utc().replace(tzinfo=None, microsecond=0)):
        raise BadInput.at(place, "has just been changed by somebody else; look at it again")
    return copies
