"""What the calendar said last time, so that events keep still and their numbers only rise."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any, Literal

from advisor.base.files import write_whole
from advisor.base.problems import BadInput, Place
from advisor.base.record import Record, asdict, replace
from advisor.base.text import from_json
from advisor.render.yearly.calendar_events import REMIND_DAYS, Event

MEMORY_FILE = "calendar.json"
FORMAT = 1
KEPT_DAYS = 60
"""A past or cancelled event stays in the calendar for so long after its end."""

Status = Literal["CONFIRMED", "CANCELLED"]


class Remembered(Record, frozen=True):
    """An event as it stands in the calendar. sequence rises when its dates or its status change;
    revised: the day asked about when anything of it last changed."""

    event: Event
    status: Status
    sequence: int
    revised: dt.date


def remember(
    before: Mapping[str, Remembered], wanted: Iterable[Event], on: dt.date
) -> dict[str, Remembered]:
    """The calendar of today from the last one and today's events, by uid in order of start.

    An event that is no longer wanted and not yet over is cancelled; one that is over stays for a
    while. The same events on any day give the same calendar.
    """
    events = {event.uid: event for event in wanted}
    after = {
        uid: _updated(old, events[uid], on) if uid in events else _fallen_away(old, on)
        for uid, old in before.items()
        if uid in events or on <= old.event.end + dt.timedelta(days=KEPT_DAYS)
    }
    for uid, event in events.items():
        after.setdefault(uid, Remembered(event, "CONFIRMED", 0, on))
    return dict(sorted(after.items(), key=lambda item: (item[1].event.start, item[0])))


def _updated(old: Remembered, new: Event, on: dt.date) -> Remembered:
    day = max(on, old.revised)
    # However small the shift: the calendar shows the day that every other view shows.
    if old.status == "CANCELLED" or _dates(old.event) != _dates(new):
        return Remembered(new, "CONFIRMED", old.sequence + 1, day)
    same = replace(new, text=old.event.text) == old.event
    return old if same else replace(old, event=new, revised=day)


def _fallen_away(old: Remembered, on: dt.date) -> Remembered:
    if old.status == "CANCELLED" or old.event.end <= on:
        return old
    return Remembered(old.event, "CANCELLED", old.sequence + 1, max(on, old.revised))


def _dates(event: Event) -> tuple[object, ...]:
    return event.start, event.end, event.by, event.clock


def read_memory(folder: Path) -> dict[str, Remembered]:
    """What the folder remembers, by uid; nothing if it has no memory yet.

    Raises `BadInput` for a damaged file.
    """
    path = folder / MEMORY_FILE
    if not path.exists():
        return {}
    try:
        return memory_of(path.read_text(encoding="utf-8"))
    except (OSError, ValueError, KeyError, TypeError, AttributeError) as error:
        what = (
            f"this is no memory of a calendar ({type(error).__name__}: {error}); put back an "
            "earlier copy, or delete it: the calendar then starts anew with the same events"
        )
        raise BadInput.at(Place(str(path)), what) from None


def write_memory(folder: Path, events: Mapping[str, Remembered]) -> None:
    """Write the memory, whole or not at all. Raises `BadInput` if that cannot be done."""
    write_whole(folder / MEMORY_FILE, memory_text(events), own=True)


def memory_text(events: Mapping[str, Remembered]) -> str:
    """What is remembered, as JSON."""
    data = {"format": FORMAT, "events": {uid: _row(event) for uid, event in events.items()}}
    return json.dumps(data, ensure_ascii=False, indent=1) + "\n"


def memory_of(text: str) -> dict[str, Remembered]:
    """What was remembered, by uid. Raises `ValueError` and the like for a damaged text."""
    data = from_json(text)
    if data["format"] != FORMAT:
        raise ValueError(f"format {data['format']}, wanted {FORMAT}")
    return {uid: _read(uid, row) for uid, row in data["events"].items()}


def _row(found: Remembered) -> dict[str, Any]:
    row = {name: value for name, value in asdict(found.event).items() if name != "uid"}
    row |= {"status": found.status, "sequence": found.sequence, "revised": found.revised}
    return {n: v.isoformat() if isinstance(v, dt.date) else v for n, v in row.items()}


def _read(uid: str, row: Mapping[str, Any]) -> Remembered:
    event = Event(
        uid=uid,
        start=dt.date.fromisoformat(row["start"]),
        end=dt.date.fromisoformat(row["end"]),
        by=dt.date.fromisoformat(row["by"]) if row["by"] is not None else None,
        summary=str(row["summary"]),
        text=str(row["text"]),
        first=str(row.get("first", "")),
        clock=_clock(row.get("clock")),
        zone=str(row.get("zone", "")),
        ahead=int(row.get("ahead", REMIND_DAYS)),
    )
    if row["status"] not in ("CONFIRMED", "CANCELLED") or int(row["sequence"]) < 0:
        raise ValueError(f"event {uid} has no valid status or sequence")
    return Remembered(
        event, row["status"], int(row["sequence"]), dt.date.fromisoformat(row["revised"])
    )


def _clock(given: Any) -> tuple[int, int] | None:
    if given is None:
        return None
    start, end = given
    return int(start), int(end)
