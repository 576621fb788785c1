"""Plants a fault: one value of one view is changed in what was printed, and all is read again.

A pair is a view and a field: of a claim ('week: by'), or of a section and a sort of value ('ask:
When date'). Who reads must find the fault in each pair that occurs.
"""

from __future__ import annotations

import copy
import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

from claims import contradictions
from readback import ReadBack
from reader import VERDICTS, Claim
from tokens import Token, tokens

PLANNED = ("minutes", "planned", "scheduled")
"""Fields of a work plan that are read from its data."""


def pairs(back: ReadBack, texts: Mapping[str, str]) -> set[str]:
    """All that occur in the views of a lawn."""
    found = set[str]()
    for view, text in texts.items():
        found |= {_claimed(claim) for claim in back.claims(view, text)}
        found |= {_valued(view, section, token) for section, token, _ in _own(back, view, text)}
    return found


def _claimed(claim: Claim) -> str:
    return f"{claim.view}: {claim.field}"


def _valued(view: str, section: str, token: Token) -> str:
    return f"{'week page' if view == 'week page' else view.split()[0]}: {section} {token.sort}"


def _own(back: ReadBack, view: str, text: str) -> Iterator[tuple[str, Token, str]]:
    """Section, value and text of what a field accounts for."""
    for value in back.values(view, text):
        if value.known:
            yield value.passage.section, value.token, value.passage.text


def found(pair: str, back: ReadBack, texts: Mapping[str, str]) -> bool:
    """Whether a fault that is planted for a pair is found. The first that can be planted counts."""
    name, _, field = pair.partition(": ")
    if name == "workplan" and field in PLANNED:
        return _found_in_plan(field, back, texts)
    for view in texts:
        if view != name and not (name == "ask" and view.startswith("ask")):
            continue
        for changed in _changes(pair, view, back, texts[view]):
            return _seen(view, changed, back, texts)
    raise AssertionError(f"nothing to plant for {pair}")


def _seen(view: str, changed: str, back: ReadBack, texts: Mapping[str, str]) -> bool:
    """Whether a changed view makes a contradiction or an orphan more than there were."""
    if len(back.orphans(view, changed)) > len(back.orphans(view, texts[view])):
        return True
    before, after = (
        list(contradictions(_claims(back, {**texts, view: text}), back.parts))
        for text in (texts[view], changed)
    )
    return len(after) > len(before)


def _claims(back: ReadBack, texts: Mapping[str, str]) -> list[Claim]:
    return [*back.told, *(claim for view in texts for claim in back.claims(view, texts[view]))]


def _changes(pair: str, view: str, back: ReadBack, text: str) -> Iterator[str]:
    """What is printed with one value changed, so that just this pair changes."""
    _, _, field = pair.partition(": ")
    claims = [claim for claim in back.claims(view, text) if claim.field == field]
    if claims:
        for changed in _touched(field, text):
            if _of(back.claims(view, changed), field) != _of(claims, field):
                yield changed
        return
    for section, token, said in _own(back, view, text):
        if _valued(view, section, token) == pair:
            read = list(back.passages(view, text))
            for changed in _at(said, token, text):
                if list(back.passages(view, changed)) != read:
                    yield changed


def _of(claims: list[Claim], field: str) -> set[Claim]:
    return {claim for claim in claims if claim.field == field}


def _touched(field: str, text: str) -> Iterator[str]:
    """Each change that might touch a claim."""
    if field in ("verdict", "from"):
        for words in VERDICTS:
            for at in re.finditer(rf"(?<=[:>\n] ){words}|(?<=\n\n){words}", text):
                other = "Not needed" if words != "Not needed" else "Hold"
                yield text[: at.start()] + other + text[at.end() :]
        for tick in re.finditer(r"^\[ \] (.*?)(?: – .*)?$", text, re.MULTILINE):
            yield text.replace(tick[0], f"  - {tick[1]}: Hold – it is wet.", 1)
        for tick in re.finditer(r"<h3>(.*?)(?: – .*)?</h3>", text):
            yield text.replace(tick[0], f"<p>{tick[1]}: Hold – it is wet.</p>", 1)
    if field == "verdict":
        return
    for bar in re.finditer(r"(?<=DTEND;VALUE=DATE:)\d{8}", text):
        yield text[: bar.start()] + _digits(bar[0]) + text[bar.end() :]
    for token in tokens(text):
        yield text[: token.at[0]] + altered(token, text, text) + text[token.at[1] :]


def _at(said: str, token: Token, text: str) -> Iterator[str]:
    """The value of a passage changed where it stands in what was printed."""
    flat = re.sub(r"\r?\n[ \t](?=\S)", "", text) if text.startswith("BEGIN:VCALENDAR") else text
    if re.fullmatch(r"\d{4}-\d\d-\d\d", said):
        for day in re.finditer(r"(?<=DATE:)\d{8}", flat):
            yield flat[: day.start()] + _digits(day[0]) + flat[day.end() :]
        return
    before, value = said[max(0, token.at[0] - 40) : token.at[0]], said[token.at[0] : token.at[1]]
    parts = [_loose(before), f"({_loose(value)})", _loose(said[token.at[1] : token.at[1] + 8])]
    for at in re.finditer("".join(parts), flat, re.IGNORECASE):
        new = altered(token, said, text)
        yield flat[: at.start(1)] + new + flat[at.end(1) :]


def _loose(text: str) -> str:
    """A pattern for a text that may be wrapped, marked up or escaped where it stands."""
    gap = r"(?:\s|\\n|</?[^>]*>)*"
    return "".join(
        gap if char.isspace() else rf"{gap}\\?{re.escape(char)}" if char in ",;" else
        rf"(?:{re.escape(char)}|&#39;)" if char == "'" else re.escape(char)
        for char in text
    )  # fmt: skip


def _digits(day: str) -> str:
    return f"{day[:6]}{_other(int(day[6:])):02}"


def _other(day: int) -> int:
    return day + 3 if day <= 25 else day - 3


def altered(token: Token, text: str, view: str) -> str:
    """Another value: a date by three days, else by a tenth, at least, as it might be printed.

    One that the view prints elsewhere is passed over: in its place it may be right as well.
    """
    said = text[token.at[0] : token.at[1]]
    if token.kind == "date":
        day, month, _ = token.value  # type: ignore[misc]
        printed = {other.value[:2] for other in tokens(view) if other.kind == "date"}  # type: ignore[index]
        others = [*range(day + 3, 29), *range(day - 3, 0, -1)]
        new = next((other for other in others if (other, month) not in printed), _other(day))
        return f"{said[:8]}{new:02}" if "-" in said else str(new)
    if token.kind == "chance":
        few = token.value[0]  # type: ignore[index]
        return "6 years in 10" if not said.isdigit() else str(few + 3 if few < 7 else few - 3)
    if token.kind == "clock":
        return said[:3] + f"{(int(said[3:]) + 25) % 60:02}"
    if token.kind == "analysis":
        return str(int(said.partition("-")[0]) + 3) + "-" + said.partition("-")[2]
    if "min" in said:
        return f"{token.value + 35} min"  # type: ignore[operator]
    _, dot, after = said.partition(".")
    bare = float(said.replace(",", ""))
    step = max(10 ** -len(after) if dot else 1, bare * 0.15)
    taken = {float(number) for number in re.findall(r"\d+(?:\.\d+)?", view.replace(",", ""))}
    new = round(bare + step, len(after))
    while new in taken:
        new = round(new + step, len(after))
    return f"{new:,.{len(after)}f}"


def _found_in_plan(field: str, back: ReadBack, texts: Mapping[str, str]) -> bool:
    """The same in the data of the plan, which is printed as well."""
    forms: dict[str, Any] = copy.deepcopy(dict(back.forms))
    days = forms["workplan"]["days"]
    at = next(number for number, day in enumerate(days) if day["tasks"])
    task = days[at]["tasks"][0]
    if field == "minutes":
        task["minutes"] += 20
    elif field == "planned":
        days[at]["tasks"].remove(task)
        days[(at + 1) % len(days)]["tasks"].append(task)
    else:
        task["find_out"] = "" if task["find_out"] else "how the soil feels"
    other = replace(back, forms=forms)
    return len(other.all(texts)) > len(back.all(texts))
