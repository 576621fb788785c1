"""A site's records in time: what was seen, done and wished, as it was known on a day."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from functools import cached_property

from advisor.base.record import Record
from advisor.site.entry import Entry, Kind


class Journal(Record, frozen=True, dict=True):
    """All entries of a journal, in the order of the file."""

    entries: tuple[Entry, ...] = ()

    def as_of(self, day: dt.date) -> Journal:
        """The journal as it stood on a day: later records are hidden, undone ones are gone.

        An undo counts from its own date on.
        """
        return Journal(Journal(tuple(e for e in self.entries if e.date <= day)).standing)

    @cached_property
    def standing(self) -> tuple[Entry, ...]:
        """The entries that were not undone, by date, those of one day in the order of the file."""
        gone = {e.what for e in self.entries if e.kind == "undo"}
        kept = (e for e in self.entries if e.kind != "undo" and e.id not in gone)
        return tuple(sorted(kept, key=lambda e: e.date))

    def observations(self, what: str, area: str | None = None) -> tuple[Entry, ...]:
        """The observations of a fact, oldest first."""
        return tuple(self._of("observation", what, area))

    def latest(self, what: str, area: str | None = None) -> Entry | None:
        """The last observation of a fact, or None."""
        return _last(self._of("observation", what, area))

    def work(
        self, operation: str, area: str | None = None, since: dt.date | None = None
    ) -> tuple[Entry, ...]:
        """The times an operation was done, from a day on, oldest first."""
        return tuple(e for e in self._of("work", operation, area) if not since or e.date >= since)

    def last_done(self, operation: str, area: str | None = None) -> Entry | None:
        """The last time an operation was done, or None if never recorded."""
        return _last(self._of("work", operation, area))

    def wishes(self, area: str | None = None, since: dt.date | None = None) -> dict[str, Entry]:
        """The last wish for each operation recorded from a day on; its value says yes or no."""
        return {
            e.what: e
            for e in self.standing
            if e.kind == "wish" and _about(e, area) and (not since or e.date >= since)
        }

    def _of(self, kind: Kind, what: str, area: str | None) -> Iterator[Entry]:
        return (e for e in self.standing if e.kind == kind and e.what == what and _about(e, area))


def _about(entry: Entry, area: str | None) -> bool:
    """Whether an entry speaks of an area: it names it, or the whole lawn. Area None: any entry."""
    return area is None or entry.area in ("", area)


def _last(entries: Iterator[Entry]) -> Entry | None:
    return next(reversed(tuple(entries)), None)
