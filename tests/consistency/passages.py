"""Splits what a view prints into passages: each in a section, and under some jobs or none."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from zoneinfo import ZoneInfo

from reader import Reader, events, html_lines
from tokens import Token, tokens

Job = tuple[str, str]
"""Title and part; no part is the whole lawn."""

_MARK = re.compile(
    r"\d+\. |# |\s*(?:[-!] |\[ \] |\[\d+\] |\d\d:\d\d–|(?:First|Last) night|Soil (?:under|at) )"
)
_CAPS = re.compile(r"[A-Z][A-Z ,()0-9]*[A-Z)](?:  .*)?$|[A-Z]{3,}DAY \d.*$")
_HOLDS = ("THIS WEEK", "FIND OUT", "HOW IT ADDS UP")
"""Sections in which a heading's job holds for all points below it."""
_UNDER_FIRST = r"(?:FIRST|STOP|SEEN TO) {2}|(?:First|Stop|Seen to): "
_UNDER = (
    ("FOOT", r"Weather: |Left out by law|A chance counts|A season says|Times are for"),
    ("TOTAL", r"Bags and hire: |.* of work for one person in all|Chances count"),
    ("FREE DAYS", r"Free days for"),
    ("SOIL", r"Soil: "),
    ("ALSO", r"Also to do"),
    ("FIRST", _UNDER_FIRST),
    ("STEPS", r"STEPS {4}|.*: steps? [\d, toand]+ of \d+|.*: brought through\."),
    ("LEGEND", "# nearly"),
)
"""Points that stand in a section of their own, by how they begin; the foot goes on to the end."""


_PARTS = {"ALSO": r"(?<=\)),? (?:and )?", "BEST FIRST": r"; |\. ", "GET": r"(?<=\)), "}
"""Sections of which a line is on several jobs, and what stands between them."""


@dataclass(frozen=True)
class Passage:
    """jobs: those under whose heading it stands. day: which it speaks of. head: its heading."""

    section: str
    jobs: tuple[Job, ...]
    text: str
    day: tuple[int, int] | None = None
    head: str = ""


def points(lines: Iterable[str]) -> Iterator[tuple[str, str]]:
    """Section and text of each point: a paragraph, a bullet, a tick, a line of the hours."""
    section, at, held, blank = "", "", "", True
    for line in [*lines, ""]:
        text = " ".join(line.split())
        caps = bool(_CAPS.match(line)) and not line.startswith(
            ("FIRST ", "STOP ", "SEEN TO ", "LAWN ", "STEPS ")
        )
        under = next((name for name, first in _UNDER if re.match(first, line.strip())), "")
        if not text or caps or blank or under or _MARK.match(line):
            if held:
                yield at, held
            held, at = "", under or section
        blank = not text or caps or text.startswith("[ ] ")
        if caps:
            section = line.split("  ")[0]
            if re.search(r"DAY \d", line):
                yield section, text
        elif text:
            held = f"{held} {text}" if held else text
        if under == "FOOT" or re.match(r"-{20,}", text):
            section = "FOOT" if under else "BELOW"


def first_day(text: str) -> tuple[int, int] | None:
    """Day and month of the first date."""
    found = next((token for token in tokens(text) if token.kind == "date"), None)
    return _day(found) if found else None


def _day(token: Token) -> tuple[int, int]:
    day, month, _ = token.value  # type: ignore[misc]
    return day, month


@dataclass(frozen=True)
class Splitter:
    """Knows the titles of the jobs and the names of the parts."""

    reader: Reader

    def jobs(self, text: str) -> tuple[Job, ...]:
        """The jobs named at the head of a point: 'Low mowing, front and back – by 15 Sep'."""
        text = re.sub(r"'advisor .*?'", "", text)
        bare = re.sub(r"^(?:[-!] |\[ \] |\d+\. )", "", text)
        parts = "|".join(map(re.escape, self.reader.parts))
        named = rf"(?:(?:, | \()((?:{parts})(?:(?:, | and )(?:{parts}))*)\)?)?"
        for title in sorted(self.reader.jobs, key=len, reverse=True):
            if not bare.startswith(title):
                continue
            after = rf"(?:, [^:;.–]*?)?(?: \(((?:{parts})[^)]*)\))?(?:: | – |$)"
            head = rf"{re.escape(title)}{named}{after}"
            if found := re.match(head, bare):
                of = re.split(", | and ", found[1] or found[2] or "")
                return tuple((title, part) for part in of)
        return ()

    def mentioned(self, text: str) -> tuple[Job, ...]:
        """All jobs that a text names, 'low mowing' as well as 'Low mowing (front)'."""
        parts = "|".join(map(re.escape, self.reader.parts))
        found = list[Job]()
        for title in self.reader.jobs:
            for named in re.finditer(
                rf"\b{re.escape(title)}\b(?: \(({parts})\)|, ({parts})\b)?", text, re.I
            ):
                found.append((title, named[1] or named[2] or ""))
        return tuple(found)

    def passages(self, lines: Iterable[str]) -> Iterator[Passage]:
        """Those of a digest, of amounts, of a plan, of measurements, of a year."""
        jobs, at = tuple[Job, ...](), ""
        for section, text in points(lines):
            own = self.jobs(text)
            if section == "FIND OUT" and text.startswith("For "):
                own = self.mentioned(text.partition(":")[0])
            elif section == "FIRST":
                own = self.mentioned(text)
            if section != at or section not in _HOLDS:
                jobs, at = (), section
            jobs = own or jobs
            yield from self._parted(Passage(section, jobs, text))

    def _parted(self, each: Passage) -> Iterator[Passage]:
        """Of a line on several days or jobs each by itself."""
        section, day = each.section, first_day(each.text)
        cut = _PARTS.get(section)
        if section == "FREE DAYS":
            title, _, rest = each.text.removeprefix("Free days for ").partition(": ")
            for text in rest.split(" · "):
                yield replace(each, jobs=self.mentioned(title), text=text, day=first_day(text))
        elif "DAY " in section:
            yield replace(each, section="DAY", day=first_day(section))
        elif section == "STEPS":
            head = each.text.removeprefix("STEPS ").partition(":")[0]
            parts = [part for part in self.reader.parts if re.search(rf"\b{part}\b", head)] or [""]
            of = tuple[Job, ...]()
            for text in each.text.split(". "):
                jobs = (title for title, _ in self.mentioned(text))
                of = tuple((title, part) for title in jobs for part in parts) or of
                yield replace(each, jobs=of, text=text, day=day, head=head)
        elif cut and (section != "GET" or "For debris" in each.text):
            for text in re.split(cut, each.text):
                yield replace(each, jobs=self.mentioned(text), text=text, day=day)
        else:
            yield replace(each, day=day)

    def page(self, text: str) -> Iterator[Passage]:
        """The same of a page: its headings are sections, each of its blocks is a point."""
        lines = list[str]()
        for line in html_lines(text):
            heading = line.strip() and not line.startswith(" ") and not self.jobs(line)
            lines += [line.upper() if heading else line.strip(), ""]
        return self.passages(lines)

    def answers(self, text: str) -> Iterator[Passage]:
        """Answers, told apart by a rule; a line above indented ones is the head of a section."""
        for each in re.split(r"\n-{20,}\n", text):
            section, jobs = "", tuple[Job, ...]()
            for paragraph in each.strip().split("\n\n"):
                head, _, rest = paragraph.partition("\n")
                found = re.match(r"(.*?)(?: \([^()]*\))?, \d+ \w+", paragraph)
                named = self.reader.titled(found[1]) if found and not section else None
                if named:
                    jobs = tuple((named[0], part) for part in named[1])
                    section = "head"
                elif re.match(_UNDER_FIRST, head):
                    section = "FIRST"
                elif rest.startswith("  ") and not head.startswith(" "):
                    section, paragraph = head, rest
                elif section not in ("", "head"):
                    section = "foot"
                for _, point in points(paragraph.splitlines()):
                    next_one = self.mentioned(point) if section == "When" else ()
                    yield Passage(section, (*jobs, *next_one), point)

    def calendar(self, text: str, zone: str | None) -> Iterator[Passage]:
        """The words of each event, and its bar; hours are told in UTC, their days in the zone."""
        for event in events(text):
            title = event.get("SUMMARY", "").replace("\\", "")
            said = event.get("DESCRIPTION", "").replace("\\n", " ").replace("\\", "")
            each = Passage("DESCRIPTION", self.jobs(title), said, head=f"{title} {said}")
            yield each
            for name in ("DTSTART", "DTEND", "DTSTAMP"):
                day = dt.date.fromisoformat(event[name][:8])
                if zone and "T" in event[name] and name != "DTSTAMP":
                    hour = dt.datetime.fromisoformat(event[name])
                    day = hour.astimezone(ZoneInfo(zone)).date()
                elif name == "DTEND":  # of whole days the day after the last
                    day -= dt.timedelta(days=1)
                yield replace(each, section=name, text=day.isoformat())
