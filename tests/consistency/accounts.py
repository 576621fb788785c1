"""The advice as data: what the JSON forms say, by the field and the job it belongs to.

A value that a view prints belongs to a field of these. Keys are those of `tokens.Token`.
"""

from __future__ import annotations

import datetime as dt
import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal
from functools import partial
from typing import Any

from keyed import Key, chance, fahrenheit, gate, keys, number, season
from passages import Job, Passage
from rule_texts import told_texts
from standing import standing
from tokens import tokens


class Data:
    """The values of each field. forms: by command the data that its JSON form holds."""

    def __init__(self, forms: Mapping[str, Any], titles: Mapping[str, str]) -> None:
        self.forms, self.titles = forms, titles
        self._of_job: dict[str, dict[Job, set[Key]]] = defaultdict(lambda: defaultdict(set))
        self._apart: dict[str, set[Key]] = defaultdict(set)
        self._gates = list[Any]()
        self.texts = told_texts(forms)
        for item in forms["week"]["items"]:
            self._item(item)
        for name in ("on", "lead", "water", "soil", "soil_c", "weather", "law", "changed"):
            if isinstance(value := forms["week"].get(name), float):
                self._apart[name] = set(fahrenheit(value))
            else:
                self._apart[name] = set(keys(value))
        for form in forms.values():
            self._gates += form.get("gates", ())
        self._apart["kept"] = set(kept(forms["week"]["plan"]))
        self._apart["noted"] = {k for g in self._gates for k in keys(g["met_on"], g["counts_to"])}
        # What could have been asked for before today is to be asked for today.
        open_gates = [g for g in self._gates if g["state"] != "met"]
        self._apart["asking"] = {k for g in open_gates for k in keys(g["by"], forms["week"]["on"])}
        self._apart["notes"] = {k for d in forms["workplan"]["days"] for k in keys(d["note"])}
        self._place(forms["year"])
        self._work(forms["workplan"], forms["amounts"])
        weekends = forms["weekends"]
        self._apart["hot"] = set(fahrenheit(weekends.get("hot_c", 0)))
        best = min(weekends["weekends"], key=lambda each: each["rank"], default={})
        self._apart["best"] = set(keys(best.get("from"), best.get("to")))
        self._apart["years"] = {("year", Decimal(forms["year"]["years"]))}
        for day in forms["workplan"].get("next_days", ()):
            job = titles[day["operation"]], ""
            self._of_job["next_day"][job] = {*keys(day["date"]), chance(day["chance"])}
        self._apart["span"] = set(keys(weekends["from"], weekends["to"]))
        self._apart["leads"] = set(keys(forms["week"]["dated"], forms["workplan"]["before"]))

    def _item(self, item: Mapping[str, Any]) -> None:
        job = item["title"], item["part"]
        self._gates += item["gates"]
        of = {
            "date": keys(item["date"]),
            "headline": keys(item["headline"]),
            "reasons": keys([reason["says"] for reason in item["reasons"]]),
            "later": keys([[each["opens"], each["closes"]] for each in item["later"]]),
            "disputes": keys(item["disputes"]),
            "advice": keys(item["advice"]),
            "season": season(item["season"]),
            "measure": keys([each["results"] for each in item["measure"]]),
            "flips": keys(item.get("flips")),
            "amounts": keys(
                [[a["says"], a["steps"], a["cap"], a["notes"]] for a in item["amounts"].values()]
            ),
        }
        for field, found in of.items():
            self._of_job[field][job] |= set(found)

    def _place(self, year: Mapping[str, Any]) -> None:
        for wait in year["waits"]:
            job = self.titles[wait["operation"]], ""
            unit = "working day" if wait["working_days"] else "day"
            self._of_job["waits"][job].add((unit, Decimal(wait["days"])))
        self._apart["legend"] = {chance(share) for share in (0.1, 0.9, 1)}
        for counted in year["growing_days"].values():
            found = self._apart["growing_days"]
            found.add(("chance", (8, 10)))
            for key, value in (counted or {}).items():
                if value is None:
                    continue
                if key in ("p10", "p50", "p90"):
                    found |= {("growing day", Decimal(value)), ("day", Decimal(value))}
                elif key == "years":
                    found.add(("year", Decimal(value)))
                elif key == "limit_c":
                    found |= set(fahrenheit(value))

    def _work(self, plan: Mapping[str, Any], amounts: Mapping[str, Any]) -> None:
        for day in plan["days"]:
            self._apart["days"] |= set(keys(day["date"]))
        for hire in amounts["hire"]:
            found = self._apart["hire"]
            found |= set(number("min", hire["minutes"])) | set(number("min", hire["block_minutes"]))
            found |= set(number("money", hire["cost"]))
            found |= set(number("money", hire["cost"] and hire["cost"] / hire["blocks"]))
        for field, total in (("totals", amounts["totals"]), ("plan_totals", plan["totals"])):
            self._apart[field] = set(number("min", total["minutes"]))
            self._apart[field] |= set(number("min", total.get("errands")))
            for name in ("cost", "cost_sure", "hire"):
                self._apart[field] |= set(number("money", total.get(name)))
        run: dict[str, float] = defaultdict(float)
        for day in plan["days"]:
            for task in day["tasks"]:
                for machine in task["needs"]:
                    run[machine] += task["minutes"]
        for minutes in run.values():
            self._apart["running"] |= set(number("min", minutes))

    def of(self, fields: Iterable[str], passage: Passage) -> set[Key]:
        """The values of some fields; of a field of jobs those of the jobs of a passage."""
        found = set[Key]()
        reckoned = {
            "windows": self._windows, "fits": self._fits, "free_days": self._free_days,
            "buy": partial(self._bought, "amounts"), "plan_buy": partial(self._bought, "workplan"),
            "hours": self._hours, "event": self._event,
            "standing": partial(standing, self.forms["week"]["programmes"]),
            "opens": partial(self._bar, "opens"), "cautious": partial(self._bar, "cautious"),
        }  # fmt: skip
        for field in fields:
            if field in reckoned:
                found |= set(reckoned[field](passage))
            found |= self._apart.get(field, set())
            for job, values in self._of_job.get(field, {}).items():
                if _meant(job, passage):
                    found |= values
        return found

    def _seasons(self, passage: Passage) -> list[Any]:
        """Those of the jobs; where the passage names one, only that."""
        windows = [
            each for each in self.forms["year"]["windows"]
            if _meant((self.titles[each["operation"]], each["area"]), passage)
        ]  # fmt: skip
        head = passage.head or passage.text
        named = [each for each in windows if re.search(rf"\b{re.escape(each['title'])}\b", head)]
        return named or windows

    def _windows(self, passage: Passage) -> Iterator[Key]:
        for each in self._seasons(passage):
            yield from keys(each["opens"], each["closes"])
            yield "year", Decimal(each["years"] + each["without"])
            yield "chance", (each["without"], each["years"] + each["without"])
            yield from [("chance", (8, 10)), ("chance", (9, 10))]

    def _hours(self, passage: Passage) -> Iterator[Key]:
        """Of a day of work its date and first and last hour; of a task its hours and its gates."""
        plan = self.forms["workplan"]
        for day in plan["days"]:
            if next(keys(day["date"]))[1][:2] != passage.day:  # type: ignore[index]
                continue
            pieces = (*day["tasks"], *day["errands"])
            clocks = sorted({clock for each in pieces for clock in (each["start"], each["end"])})
            if not re.match(r"\d\d:", passage.text):
                yield from keys(day["date"], clocks[:1], clocks[-1:])
            if "Tired at noon?" in passage.text:  # it stands below the last task
                yield from keys(day["tired_at_noon"])
            for errand in day["errands"]:
                does = {"fetch": "Fetch and learn: ", "return": "Clean, load and return: "}
                if re.match(rf"\S* {does[errand['does']]}", passage.text):
                    yield from keys(errand["start"], errand["end"], errand["at_shop"])
            yield from self._task_hours(day["tasks"], passage)

    def _task_hours(self, tasks: Iterable[Any], passage: Passage) -> Iterator[Key]:
        for task in tasks:
            find = task["find_out"] or "first find out"
            maybe = (find in passage.text) is bool(task["find_out"])
            does = rf"\S* \S*: {re.escape(task['does'])}"
            if not maybe or not re.match(does, passage.text):
                continue
            yield from keys(task["start"], task["end"])
            of = task["operation"], task["area"]
            for each in self.forms["workplan"]["gates"]:
                if (each["operation"], each["area"] or "lawn") == of:
                    yield from gate(each)

    def _bar(self, field: str, passage: Passage) -> Iterator[Key]:
        """The ends of a bar of the calendar: the usual opening, and the cautious last good day."""
        for each in self._seasons(passage):
            if field == "opens" and each["opens"]:
                yield from keys(each["opens"]["p50"])
            if field == "cautious" and each["closes"]:
                yield from keys(each["closes"]["p10"])

    def _fits(self, passage: Passage) -> Iterator[Key]:
        """What is said of a job on free days that begin with a day."""
        for run in self.forms["weekends"]["weekends"]:
            first = next(keys(run["from"]))[1]
            if passage.day is None or first[:2] != passage.day:  # type: ignore[index]
                continue
            yield from keys(run["from"], run["to"])
            whole = run["rehearsal"]
            if not passage.jobs:
                yield "free day", Decimal(run["days"])
                yield chance(run["workable"])
                if whole:
                    yield "chance", (whole["through"], whole["years"])
            for name, day in whole["worst"]["days"].items() if whole else ():
                job, part = name.split("/")
                if day and _meant((self.titles[job], part), passage):
                    yield from keys(day)
            for title, part in passage.jobs:
                of = {
                    fit["area"]: fit["chance"]
                    for fit in run["fits"]
                    if self.titles[fit["operation"]] == title
                }
                said = {
                    chance(of.get(area, 0))
                    for area in self._wanted(title)
                    if part in (area, "") or not area
                }
                if len(said) == 1:  # Of parts that are not equally likely each is named.
                    yield from said

    def _free_days(self, passage: Passage) -> Iterator[Key]:
        """What the week says of the next free days, one by one or, if none is fit, of all."""
        free = self.forms["week"]["free_days"]
        if free is None or not _meant((self.titles[free["job"]], free["part"]), passage):
            return
        if not any(round(run["chance"] * 10) for run in free["runs"]):
            yield from keys(free["runs"][-1]["to"])
            return
        for run in free["runs"]:
            if next(keys(run["from"]))[1][:2] == passage.day:  # type: ignore[index]
                yield from keys(run["from"], run["to"])
                yield chance(run["chance"])

    def _wanted(self, title: str) -> set[str]:
        """The parts on which a job ever fits into free days."""
        return {
            fit["area"] for run in self.forms["weekends"]["weekends"] for fit in run["fits"]
            if self.titles[fit["operation"]] == title
        }  # fmt: skip

    def _bought(self, view: str, passage: Passage) -> Iterator[Key]:
        for each in self.forms[view]["buy"]:
            product = each["says"].partition(":")[0]
            if passage.text.startswith(f"- {product}") and all(
                of in passage.text for of in each["for"]
            ):
                yield from keys(each["says"], each["steps"], each["warnings"], each["notes"])

    def _event(self, passage: Passage) -> Iterator[Key]:
        """The dates of a frost or a warmth of the soil, by its words and its limit."""
        for event in self._events(passage):
            yield from fahrenheit(event["limit_c"])
            yield from keys(event["this_season"], event["seen"])
            yield from keys((event["interval_90"] or {}).get("p10"))
            yield "year", Decimal(event["years"])

    def _events(self, passage: Passage) -> list[Any]:
        said = {token.key for token in tokens(passage.text)}
        return [
            event for event in self.forms["year"]["place"]
            if passage.text.lower().startswith(EVENTS[event["event"]])
            and said.intersection(fahrenheit(event["limit_c"]))
        ]  # fmt: skip

    def in_order(self, passage: Passage) -> list[set[Key]]:
        """The dates with which a row of frosts or of the soil begins, one by one."""
        if not passage.section.startswith(("FROST", "SOIL AT")):
            return []
        return [
            set(keys(day))
            for event in self._events(passage)
            if event["seen"] is None
            for day in event["by"].values()
            if day
        ]

    def gates(self, before: str, passage: Passage, view: str) -> set[Key]:
        """The values of gates that may follow upon words: a date of its kind, else any number."""
        role = next((role for role, words in ROLES.items() if re.search(words, before)), "")
        if role == "next_day":
            return set(self._next_day(before))
        own = self.forms.get(view, {}).get("gates") or self._gates
        meant = [
            e for e in own
            if not passage.jobs or _meant((self.titles[e["operation"]], e["area"]), passage)
        ]  # fmt: skip
        if role:
            # What takes no days is seen to on the day itself, and no view says by when.
            dated = [each for each in meant if each["days"] or role in ("met_on", "counts_to")]
            return {key for each in dated for key in keys(each[role])}
        return {key for each in meant for key in gate(each) if key[0] != "date"}

    def _next_day(self, before: str) -> Iterator[Key]:
        """The next free day for what a plan's gates shut out, the last of which a text names."""
        named = before.rpartition("he next free day for ")[2].partition(" is ")[0]
        for shut in self.forms["workplan"]["shut"]:
            title, day = self.titles[shut["operation"]].lower(), shut["next_day"]
            if day and named in (title, f"{title} ({shut['area']})"):
                yield from keys(day["date"])
                yield chance(day["chance"])


ROLES = {
    "next_day": r"he next free day for [^.]*$",
    "by": r"(?:[Bb]y|ask by) $",
    "work": r"(?:for work on|in time for) \w+ $",
    "earliest": r"(?:not before|first day is then) \w+ $",
    "met_on": r"[Nn]oted for $",
    "counts_to": r"counts until $",
}
"""The dates of a gate, and what stands before each."""
EVENTS = {
    "first_freeze": "first night",
    "last_freeze": "last night",
    "soil_under": "soil under",
    "soil_over": "soil at",
}


def kept(plan: Mapping[str, Any] | None) -> Iterator[Key]:
    """The days and hours of a plan that was settled on, and of the watering after it."""
    for day in plan["days"] if plan else ():
        yield from keys(day["date"], day["from"], day["to"])
    if plan and plan["watered_until"]:
        last = dt.date.fromisoformat(plan["days"][-1]["date"]) + dt.timedelta(days=1)
        yield from keys(plan["watered_until"], last.isoformat())


def _meant(of: Job, passage: Passage) -> bool:
    """Whether something of a job and a part is of those of a passage."""
    return any(
        of[0] == title and (not part or not of[1] or part in of[1].split(" and "))
        for title, part in passage.jobs
    )
