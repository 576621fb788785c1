"""Answers and digests as text. The only module that talks to jinja2."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import lru_cache
from hashlib import sha256
from typing import TYPE_CHECKING, Any

from jinja2 import BytecodeCache, Environment, FileSystemLoader, StrictUndefined
from jinja2.bccache import Bucket

from advisor.answers.answer import Answer, clearing
from advisor.answers.reasons import cited
from advisor.answers.sources import Numbers, cite
from advisor.answers.why import why_lines
from advisor.answers.words import Words, sentence
from advisor.base.cache import keep, read_kept
from advisor.base.commands import wrapped
from advisor.base.dates import say_date
from advisor.base.paths import data_folder
from advisor.base.text import visible
from advisor.base.units import System
from advisor.rulebook.model import RuleBook

if TYPE_CHECKING:
    # An answer needs none of the digest's modules, and should not wait for them.
    from advisor.planning.plan_words import GateLine
    from advisor.render.digest.view import Digest

WIDTH = 78
LINE = "-" * WIDTH


def answer_text(
    answer: Answer,
    book: RuleBook,
    weather: str,
    law: str,
    *,
    why: bool = False,
    units: System = "us",
    amounts_first: bool = False,
    gates: Sequence[GateLine] = (),
) -> str:
    """An answer for the terminal.

    gates: what has to be seen to before the work; it stands before everything else.

    why: add every comparison and its sources, in these units. amounts_first: the question was how
    much, or how long.
    """
    return render(
        "answer.txt",
        answer=answer,
        operation=answer.decision.operation,
        verdict=answer.decision.verdict,
        clearing=clearing(answer.decision, book),
        weather=weather,
        law=law,
        why=why,
        trace=why_lines(answer.decision, book.vocabulary, Words(units)) if why else (),
        amounts_first=amounts_first,
        gate_lines=gates,
        sources=cited(answer.reasons) if why else (),
    )


def digest_text(digest: Digest) -> str:
    """The digest as text, complete without the HTML."""
    return _digest("digest.txt", digest)


def head_words(digest: Digest) -> int:
    """Words of a digest's text above the line that parts the head from what to look up."""
    return len(digest_text(digest).split(LINE)[0].split())


def digest_html(digest: Digest) -> str:
    """The digest as one HTML page: no script, nothing fetched."""
    return _digest("digest.html", digest)


def mail_html(digest: Digest) -> str:
    """The same page for a mail: its styles stand on the elements (docs/make_mail.py)."""
    return _digest("mail/digest.html", digest)


def _digest(template: str, digest: Digest) -> str:
    """Sources get their numbers as the template comes to them."""
    day = f"{digest.first:%A} {digest.first.day} {digest.first:%B %Y}"
    return render(template, digest=digest, day=day, numbers=Numbers())


def mail_footer(why: str, who: str, leave: str, calendar: str = "") -> str:
    """The end of a list's mail as HTML. leave, calendar: URIs; the second may be left out."""
    return render("mail/footer.html", why=why, who=who, leave=leave, calendar=calendar)


@lru_cache(maxsize=1)
def templates_hash() -> str:
    """SHA-256 of all templates, with their names, in hex."""
    found = sha256()
    folder = data_folder("templates")
    for path in sorted(p for p in folder.rglob("*") if p.is_file()):
        name = path.relative_to(folder).as_posix()
        found.update(name.encode() + b"\0" + sha256(path.read_bytes()).digest())
    return found.hexdigest()


def render(template: str, **values: Any) -> str:
    """A template of the folder `templates`, filled; names that end in .html are escaped.

    Control characters of what was filled in are shown as escapes.
    """
    text = visible(_environment().get_template(template).render(**values))
    return re.sub(r"\n{3,}", "\n\n", text).strip() + "\n"


@lru_cache(maxsize=1)
def _environment() -> Environment:
    found = Environment(
        loader=FileSystemLoader(data_folder("templates")),
        autoescape=lambda name: bool(name and name.endswith(".html")),
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        bytecode_cache=_Compiled(),
        # They do not change while the program runs, so nobody has to look at each use.
        auto_reload=False,
    )
    # Many digests share most of their lines.
    found.filters["fold"] = lru_cache(maxsize=4096)(fold)
    found.filters["cite"] = cite
    found.filters["sentence"] = sentence
    found.filters["day"] = say_date
    return found


class _Compiled(BytecodeCache):
    """Compiled templates in the user's own cache folder; none where that is of no use."""

    def load_bytecode(self, bucket: Bucket) -> None:
        if (kept := read_kept(f"{bucket.key}.template")) is not None:
            bucket.bytecode_from_string(kept)

    def dump_bytecode(self, bucket: Bucket) -> None:
        keep(f"{bucket.key}.template", bucket.bytecode_to_string())


def escaped(text: str) -> str:
    """Text as a page's template would show it."""
    return str(_environment().filters["escape"](text))


def fold(text: str, bullet: str = "", width: int = WIDTH) -> str:
    """Text wrapped to the width, with a hanging bullet."""
    return wrapped(text, width, bullet)
