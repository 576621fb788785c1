"""What each kind of printed command does: a kind that has no entry here fails the tests."""

from __future__ import annotations

import re
from collections.abc import Callable

from dateutil.parser import parse
from keeper import Keeper
from printed import Printed

from advisor.advice.book import Advice
from advisor.amounts.minutes import took_here
from advisor.base.dates import ONE_DAY
from advisor.base.units import parse_quantity
from advisor.records.entry import Entry

Effect = Callable[[Keeper, Printed, tuple[str, ...]], None]


def _recorded(keeper: Keeper, printed: Printed) -> tuple[Entry, str]:
    """The one record that a command adds, of the view's day, and what the command says."""
    before = {entry.id for entry in keeper.case().journal.standing}
    said = keeper.does(*printed.argv)
    (entry,) = (e for e in keeper.case().journal.standing if e.id not in before)
    return entry, said


def note(keeper: Keeper, printed: Printed, view: tuple[str, ...]) -> None:
    words = printed.argv[2]
    rules = {w: rule for rule in keeper.case().book.gates.values() for w in (rule.note, rule.none)}
    if words in rules:
        _gate(keeper, printed, view)
        return
    entry, _ = _recorded(keeper, printed)
    if "--yes" in printed.argv:
        assert f"{entry.date}: {entry.what.replace('_', ' ')}" in printed.said
    elif "reads as" in printed.said or "records a wish" in printed.said or "a wish" in printed.said:
        assert (entry.kind, entry.value) == ("wish", True), printed
    elif "records a limit" in printed.said:
        assert entry.kind == "limit"
    else:
        assert "records what was seen" in printed.said
        assert entry.kind == "observation"


def _gate(keeper: Keeper, printed: Printed, view: tuple[str, ...]) -> None:
    """It is met where it was named, unless the record will be too old on the day of the work."""
    entry, _ = _recorded(keeper, printed)
    assert entry.date == keeper.on
    if printed.argv not in [one.argv for one in keeper.printed(*view)]:
        return
    case = keeper.case()
    counts = case.book.vocabulary[entry.what].stale_after
    assert counts is not None
    before = printed.said.partition(f'"{printed.argv[2]}"')[0]
    told = re.findall(r"for work on [A-Z]\w+ (\d+ [A-Z]\w\w)\b(?: (\d{4}))?", before)
    assert told, printed
    day, year = told[-1]
    work = parse(f"{day} {year or keeper.on.year}").date()
    assert work > keeper.on + round(counts) * ONE_DAY, printed


def done(keeper: Keeper, printed: Printed, view: tuple[str, ...]) -> None:
    entry, said = _recorded(keeper, printed)
    assert entry.kind == "work"
    assert "done" in said
    if view[0] != "workplan":
        return
    # What the next plan reckons with is what was noted.
    minutes = entry.details["took"]
    assert isinstance(minutes, float)
    case = keeper.case()
    (ground,) = (
        part.ground for part in Advice(case).parts if part.label == entry.area
    )  # fmt: skip
    took = took_here(case, entry.what, ground)
    assert took is not None
    assert abs(took - minutes * 60) < 1e-6
    assert f"took {parse_quantity(entry.text.partition('=')[2], 'h') * 60:g} min" in printed.said


def undo(keeper: Keeper, printed: Printed, view: tuple[str, ...]) -> None:
    # The view is the record itself.
    keeper.does(*view)
    id = printed.argv[2]
    assert id in {entry.id for entry in keeper.case().journal.standing}
    keeper.does(*printed.argv)
    assert id not in {entry.id for entry in keeper.case().journal.standing}


def week(keeper: Keeper, printed: Printed, view: tuple[str, ...]) -> None:
    said = " ".join(keeper.does(*printed.argv).split())
    case = keeper.case()
    day = f"{keeper.on:%A} {keeper.on.day} {keeper.on:%B %Y}" if "--on" in printed.argv else ""
    assert said.startswith(f"{case.site.name.upper()} · {day}")


def ask(keeper: Keeper, printed: Printed, view: tuple[str, ...]) -> None:
    title = keeper.does(*printed.argv).splitlines()[0]
    if view[0] == "waterplan":
        assert title.startswith("Watering")
        return
    named = re.search(r"is about ([a-z ]+),|work done \(([a-z ]+)\)", printed.said)
    assert named, printed
    id = (named[1] or named[2]).replace(" ", "_")
    assert title.startswith(keeper.case().book.operations[id].title)


def identify(keeper: Keeper, printed: Printed, view: tuple[str, ...]) -> None:
    said = keeper.does(*printed.argv, answers="?\n" * 30)
    assert said.count("Which") >= 3
    assert any(g.title in said for g in keeper.case().book.grasses.values())


def new(keeper: Keeper, printed: Printed, view: tuple[str, ...]) -> None:
    keeper.does(*printed.argv, answers="41.2, -81.9\ndon't know\n3000 ft2\n")
    assert (keeper.folder / "site.yaml").is_file()
    keeper.does("check", keeper.site)


def waterplan_cans(keeper: Keeper, printed: Printed, view: tuple[str, ...]) -> None:
    assert re.search(r"\d (?:in|mm)/h", keeper.does(*printed.argv))


def spreader_trial(keeper: Keeper, printed: Printed, view: tuple[str, ...]) -> None:
    swath = printed.argv[printed.argv.index("--swath") + 1]
    assert f"Walk {swath} apart" in keeper.shown(*view)
    assert keeper.does(*printed.argv).startswith("It gives ")


def rules_examples(keeper: Keeper, printed: Printed, view: tuple[str, ...]) -> None:
    told = re.search(r"(\d+) inline examples prove the file", printed.said)
    assert told
    operation = keeper.case().book.operations[printed.argv[2]]
    assert int(told[1]) == len(operation.examples)
    said = keeper.does(*printed.argv)
    assert len(re.findall(r"^\S", said, re.MULTILINE)) == len(operation.examples)


def weekends(keeper: Keeper, printed: Printed, view: tuple[str, ...]) -> None:
    """It ranks free days, as it is said to."""
    assert "free days suit" in printed.said
    assert "BEST FIRST" in keeper.does(*printed.argv)


def workplan(keeper: Keeper, printed: Printed, view: tuple[str, ...]) -> None:
    """It gives the hours of the days that the view speaks of."""
    assert "puts it into hours" in printed.said
    day = parse(printed.argv[-1].removeprefix("--from=")).date()
    said = keeper.does(*printed.argv)
    assert f"{day:%A} {day.day} {day:%b}" in said
    assert re.search(r"\d\d:\d\d–\d\d:\d\d", said)


EFFECTS: dict[str, Effect] = {
    "note": note,
    "done": done,
    "undo": undo,
    "week": week,
    "weekends": weekends,
    "workplan": workplan,
    "ask": ask,
    "identify": identify,
    "new": new,
    "waterplan cans": waterplan_cans,
    "spreader trial": spreader_trial,
    "rules examples": rules_examples,
}
ELSEWHERE = {
    "weather": "wants a weather service; tests/fetch runs the command, not yet as it is printed",
    "mail": "wants a list and a server; tests/mailing runs the commands, not yet as printed",
}
"""Kinds whose effects are not looked at here, and why."""


def kind_of(argv: tuple[str, ...]) -> str:
    """`note`, `rules examples`: the command and, where it has some, its own command."""
    groups = {"waterplan", "spreader", "rules"}
    return " ".join(argv[:2]) if argv[0] in groups else argv[0]
