"""The file `list.yaml` of a mailing list's folder: who sends it."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from advisor.base.checked_model import FileModel, check_document
from advisor.base.problems import BadInput, Place
from advisor.base.strict_yaml import load_file
from advisor.mailing.mails.identity import ListIdentity, checked_identity

LIST_FILE = "list.yaml"


class ListFile(FileModel):
    """The file's keys; those but `format` are of `ListIdentity`."""

    format: Literal[1]
    list_id: str
    name: str
    sender: str
    sender_address: str
    reply_to: str
    postal_address: str
    leave_url: str
    leave_mail: str
    bounces: str
    web_url: str = ""


def read_list_file(folder: Path) -> ListIdentity:
    """The sender of a list. Raises `BadInput` with everything that is wrong."""
    path = folder / LIST_FILE
    if not path.is_file():
        what = "is missing; docs/mail.md shows what stands in it"
        raise BadInput.at(Place(str(path)), what)
    found = check_document(ListFile, load_file(path)).model_dump(exclude={"format"})
    return checked_identity(ListIdentity(**found))
