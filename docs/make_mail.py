"""Writes templates/mail/*.html: the page's templates with each style on the element it is for.

Many mail programs drop `<style>`. Inlining is done here, once, and not for each mail; a test proves
that it comes to the same. Run by hand after a change of templates/digest.html or
templates/footer.html: `python docs/make_mail.py`.
"""

from __future__ import annotations

import re
from pathlib import Path

from css_inline import CSSInliner

FROM = Path(__file__).parents[1] / "templates"
TO = FROM / "mail"
PAGE, FOOTER = "digest.html", "footer.html"

_BLOCK = re.compile(r"\{%.*?%\}", re.DOTALL)
_STYLE = re.compile(r"<style>(.*?)</style>\n?", re.DOTALL)
# What depends on the medium cannot stand on an element; its styles are marked as important.
_OF_A_MEDIUM = re.compile(r"<style media=.*?</style>\n?", re.DOTALL)
_STASHED = re.compile(r"<!--stashed ([0-9]+)-->", re.DOTALL)
_TAG = re.compile(r"<[a-z][^<>]*>")
# A way out is the one thing that is filled into a tag; it decides no style.
_ALLOWED_IN_A_TAG = re.compile(r' href="\{\{ [a-z]+ \}\}"')
# What is filled in between two elements could change which of them these mean.
_OF_POSITION = re.compile(r"[+~:]")


def make() -> dict[str, str]:
    """File name → content of everything under templates/mail."""
    page = (FROM / PAGE).read_text(encoding="utf-8")
    footer = (FROM / FOOTER).read_text(encoding="utf-8")
    for name, text in ((PAGE, page), (FOOTER, footer)):
        if wrong := cannot_be_inlined(text):
            raise SystemExit(f"templates/{name}: cannot be inlined once: {'; '.join(wrong)}")
    whole = page.replace("</main>", f"{footer}</main>")
    inlined = inline(whole)
    start, end = inlined.index("<footer"), inlined.index("</main>")
    return {PAGE: inlined[:start] + inlined[end:], FOOTER: inlined[start:end]}


def inline(page: str) -> str:
    """A page, or a template of one, with its styles inlined; those of a medium stay in its head."""
    kept: list[str] = []

    def stash(found: re.Match[str]) -> str:
        kept.append(found[0])
        return f"<!--stashed {len(kept) - 1}-->"

    # The inliner reads HTML: a bare {% for %} between two elements would be moved out of place.
    hidden = _BLOCK.sub(stash, _OF_A_MEDIUM.sub(stash, page))
    return _STASHED.sub(lambda m: kept[int(m[1])], CSSInliner().inline(hidden))


def cannot_be_inlined(template: str) -> list[str]:
    """What in a template could make inlining it once differ from inlining each page."""
    wrong = [
        f"{tag} is filled in inside the tag"
        for tag in _TAG.findall(_BLOCK.sub(lambda m: m[0].replace("<", " "), template))
        if re.search(r"\{[{%]", _ALLOWED_IN_A_TAG.sub("", tag))
    ]
    for style in _STYLE.findall(template):
        selectors = re.findall(r"([^{}]+)\{", style)
        wrong += [
            f"'{s.strip()}' depends on neighbours"
            for s in selectors
            if s.strip() != ":root" and _OF_POSITION.search(s)
        ]
    return wrong


if __name__ == "__main__":
    TO.mkdir(exist_ok=True)
    for name, content in make().items():
        (TO / name).write_text(content, encoding="utf-8")
