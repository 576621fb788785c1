"""Reads what the views print, as a person would: no code is shared with the program.

A claim is what a view says of one job on one part of the lawn: a verdict, a date, an amount, a
time. The reader knows the titles of the jobs, the names of the parts, and the shapes of sentences
such as 'by 15 Sep', '3.6 to 5.5 lb' and '1 h 20 min'; nothing else.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from html.parser import HTMLParser

MONTHS = {
    m: i
    for i, m in enumerate(
        ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"], 1
    )
}
DATE = rf"\d{{1,2}} (?:{'|'.join(MONTHS)})(?: \d{{4}})?"
TIME = r"(?:\d+ h(?: \d+ min)?|\d+ min)"
NUMBER = r"\d[\d,]*(?:\.\d+)?"
DOSE = rf"\b({NUMBER}) (lb|kg|g)"
VERDICTS = {
    "Do it": "do", "Not yet": "wait", "Not this season": "wait", "Hold": "hold",
    "In season, but wait": "hold", "Not needed": "not_needed", "Too late": "missed",
    "No season": "missed", "Ruled out": "ruled_out", "Not here": "ruled_out",
    "Measure first": "measure",
}  # fmt: skip


@dataclass(frozen=True)
class Claim:
    """part: empty for the whole lawn. value: of any type that compares."""

    view: str
    job: str
    part: str
    field: str
    value: object


@dataclass(frozen=True)
class Reader:
    """jobs: their titles. parts: the names of the lawn's areas. on: the day of the views."""

    jobs: tuple[str, ...]
    parts: tuple[str, ...]
    on: dt.date

    def day(self, text: str) -> dt.date:
        """`15 Sep` is the one nearest ahead, or of the last half year."""
        number, month, *year = text.split()
        found = dt.date(int(year[0]) if year else self.on.year, MONTHS[month], int(number))
        if year or abs((found - self.on).days) < 183:
            return found
        return found.replace(year=found.year + (1 if found < self.on else -1))

    def ahead(self, text: str) -> dt.date:
        """A day of the twelve months to come, in which each date stands once."""
        found = self.day(text)
        return found if found >= self.on else found.replace(year=found.year + 1)

    def titled(self, head: str) -> tuple[str, tuple[str, ...]] | None:
        """The job and the parts that a heading names: 'Low mowing, front and back'."""
        for title in sorted(self.jobs, key=len, reverse=True):
            if head == title:
                return title, ("",)
            for joint in (", ", " ("):
                if head.startswith(title + joint):
                    rest = head.removeprefix(title + joint).removesuffix(")")
                    named = re.split(r", | and ", rest)
                    if all(part in self.parts for part in named):
                        return title, tuple(named)
        return None

    def block(self, view: str, head: str, lines: Iterable[str]) -> Iterator[Claim]:
        """What stands under a heading that names a job."""
        named = self.titled(head)
        if named is None:
            return
        text = " ".join(line.strip() for line in lines)
        shared, own = self._by_part(text, named[1])
        for part in named[1]:
            for field, value in self._said(f"{shared} {own.get(part, '')}"):
                yield Claim(view, named[0], part, field, value)

    def _by_part(self, text: str, parts: tuple[str, ...]) -> tuple[str, dict[str, str]]:
        """What is said of all parts, and of each: 'Back: 15 min for one person. Front: 5 min …'"""
        if len(parts) < 2:
            return text, {}
        names = "|".join(re.escape(part.capitalize()) for part in parts)
        first, *rest = re.split(rf"(?<=\. )({names}): ", text)
        return first, {name.lower(): said for name, said in zip(rest[::2], rest[1::2], strict=True)}

    def _said(self, text: str) -> Iterator[tuple[str, object]]:
        verdict = next((v for words, v in VERDICTS.items() if text.startswith(words)), None)
        if verdict:
            yield "verdict", verdict
        if found := re.match(rf"Do it – by ({DATE})", text):
            yield "by", self.day(found[1])
        if found := re.match(rf"(?:Do it|Not yet) – planned for \w+ ({DATE})", text):
            yield "appointed", self.day(found[1])
        yield from self._from(text)
        if found := re.search(rf"({NUMBER}) to ({NUMBER}) (lb|kg) of [\w '.-]*?seed\b", text):
            yield "seed", (found[1], found[2], found[3])
        if found := re.search(rf"({NUMBER}) to ({NUMBER}) (gal|L) of water\b", text):
            yield "water", (found[1], found[2], found[3])
        # How to add up what was fed names pounds too; only doses count here.
        given = rf"(?:On [^:]*: {DOSE} of nitrogen\.|{DOSE} of nitrogen at the most)"
        if found := re.search(given, text):
            yield "nitrogen", tuple(filter(None, found.groups()))
        dose = rf"{DOSE} of (?:a )?(\d+-\d+-\d+)(?:, for example| at the most)"
        if found := re.search(dose, text):
            yield "product", (found[1], found[2], found[3])
        if found := re.search(rf"({TIME})(?: to ({TIME}))? for one person", text):
            yield "minutes", (minutes(found[1]), minutes(found[2] or found[1]))
        yield from self._season(text)

    def _from(self, text: str) -> Iterator[tuple[str, object]]:
        """From which day what is withheld today may be done, where that is said."""
        when = r"Not yet – (?:about|planned for \w+)|Hold until|usually over by about"
        dated = rf"(?:{when}|look again about) ({DATE})"
        if found := re.search(dated, text):
            yield "from", self.day(found[1])
        elif text.startswith("In season, but wait"):
            yield "from", self.on + dt.timedelta(days=1)

    def _season(self, text: str) -> Iterator[tuple[str, object]]:
        if found := re.search(rf"[Ii]t closes about ({DATE}), in 1 year of 10 by ({DATE})", text):
            yield "closes", self.day(found[1])
            yield "closes early", self.day(found[2])

    def digest(self, view: str, lines: list[str]) -> Iterator[Claim]:
        """The ticks of a week ('[ ] Low mowing, front – by 15 Sep'), and those of 'Also to do'."""
        head, block = "", list[str]()
        for line in [*lines, "."]:
            found = re.match(r"(?:\[ \] )?(\S.*? – (?:by|planned) .*|(?<=\] )\S.*)$", line)
            if found or (line.strip() and not line.startswith(" ")):
                yield from self.block(view, head, block)
                head, _, when = found[1].partition(" – ") if found else ("", "", "")
                block = [f"Do it – {when}."] if when else ["Do it."]
            elif head:
                block.append(line)
        for point in (*bullets("\n".join(lines)), *(line.strip() for line in lines)):
            title, _, said = point.partition(": ")
            if said.startswith(tuple(VERDICTS)):
                yield from self.block(view, title, [said])
        also = re.search(r"Also to do: (.*?)\.(?:\s|$)", " ".join(map(str.strip, lines)))
        for title, said in re.findall(rf"([\w ]+?) \(by ({DATE})[^)]*\)", also[1] if also else ""):
            job = next((j for j in self.jobs if title.strip().lower().endswith(j.lower())), None)
            if job:
                yield Claim(view, job, "*", "by", self.day(said))

    def advice(self, view: str, week: dict) -> Iterator[Claim]:
        """What the data behind a week say of each job and part."""
        for item in week["items"]:
            season, date = item["season"], item["date"] or {}
            said: list[tuple[str, object]] = [("verdict", item["verdict"])]
            for amount in item["amounts"].values():
                said += self._said(". ".join([amount["says"], *amount["steps"]]) + ".")
            if item["verdict"] == "do" and date.get("kind") == "deadline":
                said.append(("by", dt.date.fromisoformat(date["day"])))
            if season and season["state"] == "open" and season["possible"]:
                closes = season["possible"]["closes"]
                said.append(("closes", dt.date.fromisoformat(closes["p50"])))
                said.append(("closes early", dt.date.fromisoformat(closes["p10"])))
            for part in item["part"].split(" and "):
                for field, value in said:
                    yield Claim(view, item["title"], part, field, value)

    def answers(self, view: str, text: str) -> Iterator[Claim]:
        """One or more answers, told apart by a rule."""
        for each in re.split(r"\n-{20,}\n", text):
            paragraphs = [" ".join(p.split()) for p in each.strip().split("\n\n")]
            found = re.match(r"(.*?) \([^()]*\), " + DATE, paragraphs[0])
            if found and len(paragraphs) > 1:
                yield from self.block(view, found[1], paragraphs[1:])

    def amounts(self, view: str, text: str) -> Iterator[Claim]:
        """The jobs of 'how it adds up': 'Overseeding, front: Do it – by 15 Sep.'"""
        _, _, rest = text.partition("\nHOW IT ADDS UP\n")
        for each in rest.split("\n\n"):
            head, _, said = " ".join(each.split()).partition(": ")
            yield from self.block(view, head, [said])

    def plan(self, view: str, text: str) -> Iterator[Claim]:
        """Seed and dates of a work plan, and the jobs that it gives an hour."""
        for line in bullets(text):
            for job in self.jobs:
                seed = rf"{re.escape(job)}(?:, ([\w ]+))?: spread ({NUMBER}) to ({NUMBER}) (lb|kg)"
                if found := re.match(seed, line):
                    value = (found[2], found[3], found[4])
                    yield Claim(view, job, found[1] or "", "seed", value)
                if found := re.match(rf"{re.escape(job)}: .*should be done by ({DATE})[.,]", line):
                    yield Claim(view, job, "*", "by", self.day(found[1]))

    def plan_json(self, view: str, plan: dict, titles: dict[str, str]) -> Iterator[Claim]:
        """Hours and minutes by job. titles: of the ids that the plan's data use."""
        took: dict[tuple[str, str], int] = {}
        days: dict[tuple[str, str], dt.date] = {}
        maybe: set[tuple[str, str]] = set()
        for day in plan["days"]:
            for task in day["tasks"]:
                part = task["area"] if task["area"] in self.parts else ""
                key = titles[task["operation"]], part
                took[key] = took.get(key, 0) + task["minutes"]
                days.setdefault(key, dt.date.fromisoformat(day["date"]))
                if task["find_out"]:
                    maybe.add(key)
        for (job, part), total in took.items():
            yield Claim(view, job, part, "minutes", (total, total))
            yield Claim(view, job, part, "scheduled", (job, part) not in maybe)
            yield Claim(view, job, part, "planned", days[job, part])

    def year(self, view: str, text: str) -> Iterator[Claim]:
        """'Low mowing (front): Open now, usually to 20 Sep; in 9 years of 10 to 15 Sep or later'"""
        _, _, rest = text.partition("\nFROM WHEN TO WHEN\n")
        for line in bullets(rest.partition("\n\n")[0]):
            head, _, said = line.partition(": ")
            # The season's name may stand between the title and the part.
            named = self.titled(re.sub(r", [^()]+?(?= \(|$)", "", head))
            pattern = rf"Open now, usually to ({DATE}); in 9 years of 10 to ({DATE}) or later"
            found = re.match(pattern, said)
            if named and found:
                for part in named[1]:
                    yield Claim(view, named[0], part, "closes", self.ahead(found[1]))
                    yield Claim(view, named[0], part, "closes early", self.ahead(found[2]))

    def calendar(self, view: str, text: str) -> Iterator[Claim]:
        """Seasons that are open: the last day of each bar is the cautious last good day."""
        for event in events(text):
            head, _, rest = event.get("SUMMARY", "").partition(": ")
            named = self.titled(head)
            if named is None or rest != "in season" or "if it is needed" in head:
                continue
            first = dt.date.fromisoformat(event["DTSTART"])
            last = dt.date.fromisoformat(event["DTEND"]) - dt.timedelta(days=1)
            if first <= self.on <= last:
                yield Claim(view, named[0], "*", "by", last)


def minutes(text: str) -> int:
    """`1 h 20 min` as minutes."""
    hours = re.search(r"(\d+) h", text)
    rest = re.search(r"(\d+) min", text)
    return 60 * int(hours[1] if hours else 0) + int(rest[1] if rest else 0)


def bullets(text: str) -> Iterator[str]:
    """The points of a list, each on one line."""
    for each in re.split(r"\n  - ", "\n" + text)[1:]:
        point = re.split(r"\n(?=\S|\n)", each)[0]
        yield " ".join(point.split())


def events(text: str) -> Iterator[dict[str, str]]:
    """The events of a calendar, by property; alarms are left out."""
    lines = re.sub(r"\r?\n[ \t]", "", text).splitlines()
    event: dict[str, str] | None = None
    alarm = False
    for line in lines:
        name, _, value = line.partition(":")
        if line == "BEGIN:VEVENT":
            event = {}
        elif line == "END:VEVENT" and event is not None:
            yield event
            event = None
        elif line in ("BEGIN:VALARM", "END:VALARM"):
            alarm = line == "BEGIN:VALARM"
        elif event is not None and not alarm:
            event[name.split(";")[0]] = value


class _Lines(HTMLParser):
    """A page as lines: headings flush left, the rest indented, as the text view has them."""

    BLOCKS = ("p", "h1", "h2", "h3", "h4", "li", "td", "th", "dt", "dd", "summary")

    def __init__(self) -> None:
        super().__init__()
        self.lines: list[str] = []
        self._open: list[str] = []

    def handle_starttag(self, tag: str, attrs: object) -> None:
        if tag in ("style", "script"):
            self._open.append(tag)
        if tag in self.BLOCKS:
            self.lines.append("" if tag.startswith("h") else " ")

    def handle_endtag(self, tag: str) -> None:
        if tag in self._open:
            self._open.remove(tag)

    def handle_data(self, data: str) -> None:
        if not self._open and self.lines:
            self.lines[-1] += data


def html_lines(page: str) -> list[str]:
    """The text of a page, a line for each block."""
    parser = _Lines()
    parser.feed(page)
    return [" " * line.startswith(" ") + " ".join(line.split()) for line in parser.lines]
