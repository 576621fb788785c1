"""Who sends a list's mail, checked once and before anything is built."""

from __future__ import annotations

from collections.abc import Callable

from advisor.base.problems import BadInput, Place, Problems
from advisor.base.record import Record, asdict, replace
from advisor.mailing.mails import guard


class ListIdentity(Record, frozen=True):
    """The sender of a list.

    list_id: `lawn-week.example.org`, stable for ever (RFC 2919). name: the list's name. sender and
    sender_address: From. reply_to: where readers' answers go. postal_address: a street or box, on
    one line, which bulk mail must show. leave_url: the https address that a token is appended to.
    leave_mail: the address that takes 'unsubscribe' by mail. bounces: the envelope's sender.
    web_url: the https address of the list's pages, such as those of `advisor mail serve`; empty if
    it has none.
    """

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

    @property
    def domain(self) -> str:
        """The domain that Message-IDs carry."""
        return self.sender_address.rpartition("@")[2]


def answered_at(identity: ListIdentity, reply_to: str) -> ListIdentity:
    """The same list, with answers to one edition going to another address; empty for the usual."""
    return checked_identity(replace(identity, reply_to=reply_to or identity.reply_to))


def checked_identity(given: ListIdentity) -> ListIdentity:
    """The same with its domains in ASCII form. Raises `BadInput` naming everything amiss."""
    problems = Problems()
    found = dict(asdict(given))
    for key in ("name", "sender", "postal_address"):
        if not found[key].strip():
            problems.add(Place(f"the mail's {key}"), "is empty; mail to a list must carry it")
        _take(problems, found, key, guard.header_text)
    for key in ("sender_address", "reply_to", "leave_mail", "bounces"):
        _take(problems, found, key, guard.address)
    _take(problems, found, "leave_url", guard.uri)
    if not given.leave_url.startswith("https://"):
        problems.add(Place("the mail's leave_url"), "must be https (RFC 8058 section 3.1)")
    if given.web_url:
        _take(problems, found, "web_url", guard.uri)
        if not given.web_url.startswith("https://"):
            problems.add(Place("the mail's web_url"), "must be https; a link there is a secret")
    # A List-Id is a domain name of the list's own; at most 255 octets (RFC 2919 section 3).
    _take(problems, found, "list_id", lambda text, name: guard.address(f"x@{text}", name)[2:])
    if "." not in given.list_id:
        problems.add(Place("the mail's list_id"), "needs a domain, such as lawn.example.org")
    problems.raise_if_any()
    return ListIdentity(**found)


def _take(
    problems: Problems, found: dict[str, str], key: str, check: Callable[[str, str], str]
) -> None:
    try:
        found[key] = check(found[key], key)
    except BadInput as error:
        problems.take(error)
