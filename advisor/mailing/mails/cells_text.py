"""Cells of a list's file: text that does no harm in a mail, a page or a spreadsheet."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable

from email_validator import EmailNotValidError, validate_email

from advisor.base.problems import BadInput
from advisor.mailing.mails import guard

LONGEST_TEXT = 120
_SIGNED = re.compile(r"[-+][0-9.]+[ ,;][-+ 0-9.,;]*\Z")
# The wide forms are what some keyboards write for the plain ones.
_SIGNS = "=+@＝＋－＠-"
_FORMULA = (*_SIGNS, "\t", "\r", "\n")
_AFTER_SEMICOLON = re.compile(rf"(;[\s'\"]*)(?=[{_SIGNS}])")


def harmless(text: str, *, signed: bool = False) -> str:
    """The text, stripped. Raises `ValueError` with what is wrong with it.

    signed: a number may come first, with its sign.
    """
    plain = text.strip(" ")
    if len(plain) > LONGEST_TEXT:
        raise ValueError(f"has {len(plain)} characters; wanted at most {LONGEST_TEXT}")
    try:
        guard.header_text(plain, "cell")
    except BadInput as error:
        raise ValueError(error.problems[0].what) from None
    if "<" in plain or ">" in plain:
        raise ValueError("holds '<' or '>'; wanted plain text without HTML")
    if plain.startswith(_FORMULA) and not (signed and _SIGNED.match(plain)):
        raise ValueError(
            f"begins with '{plain[0]}', which spreadsheets run as a formula; remove it"
        )
    return plain


def mail_address(text: str) -> str:
    """A plain mail address, its domain in ASCII. Nothing is looked up.

    Raises `ValueError` with what is wrong with it.
    """
    # A plus or minus may begin a mailbox's name; a mail address is no formula.
    plain = harmless(text.strip(" ").lstrip("+-"))
    if not plain:
        raise ValueError("is missing; wanted an address such as you@example.org")
    try:
        found = validate_email(
            text.strip(" "),
            check_deliverability=False,
            allow_smtputf8=False,
            allow_quoted_local=False,
            allow_domain_literal=False,
        )
        return guard.address(found.ascii_email or found.normalized, "address")
    except EmailNotValidError as error:
        said = " ".join(str(error).split()).rstrip(".")
        raise ValueError(f"is no mail address ({said}); wanted one as you@example.org") from None
    except BadInput as error:
        raise ValueError(error.problems[0].what) from None


def shown(text: str, longest: int = 40) -> str:
    """A hostile cell as it may stand in a message: controls escaped, long text cut."""
    return f"{_escaped(text[:longest])}{'…' if len(text) > longest else ''}"


def csv_text(rows: Iterable[Iterable[object]]) -> str:
    """Rows as CSV whose cells no spreadsheet runs: a formula's first sign gets an apostrophe.

    So does one after a semicolon, where spreadsheets of some countries part cells. Controls are
    escaped.
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    for row in rows:
        writer.writerow([_neutral("" if cell is None else cell) for cell in row])
    return out.getvalue()


def _escaped(text: str) -> str:
    return "".join(c if c.isprintable() else f"\\x{ord(c):02x}" for c in text)


def _neutral(cell: object) -> object:
    if not isinstance(cell, str):
        return cell
    plain = _AFTER_SEMICOLON.sub(r"\1'", _escaped(cell))
    return f"'{plain}" if cell.startswith(_FORMULA) else plain
