"""Writing the calendar file, and what the site's folder remembers of it."""

from __future__ import annotations

from pathlib import Path

from advisor.base.files import write_whole
from advisor.render.yearly.calendar_check import check_calendar
from advisor.render.yearly.calendar_file import calendar_bytes
from advisor.render.yearly.calendar_memory import read_memory, remember, write_memory
from advisor.render.yearly.calendar_plan import events_of
from advisor.render.yearly.year import Year


def write_calendar(year: Year, path: Path, folder: Path) -> None:
    """Write the calendar and remember it. The same data again gives the same bytes.

    folder: the site's, which remembers it.
    Raises `BadInput` if a file cannot be read or written, `RuntimeError` if the file that we made
    is not sound.
    """
    events = remember(read_memory(folder), events_of(year.advice), year.on)
    raw = calendar_bytes(f"{year.case.site.name}: lawn seasons", events.values())
    faults = check_calendar(raw)
    if faults:
        raise RuntimeError(f"the calendar would not be sound: {'; '.join(faults)}")
    write_whole(path, raw, reads=[folder])
    write_memory(folder, events)
