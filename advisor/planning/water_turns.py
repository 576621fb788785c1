"""Zones one after the other on one tap: cycles woven together, all inside the hours allowed."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.base.record import Record
from advisor.planning.cycle_soak import Cycles


class Run(Record, frozen=True):
    """A zone running, minutes after midnight."""

    zone: str
    start: int
    end: int


def weave(jobs: Mapping[str, Cycles], start: int) -> tuple[Run, ...]:
    """Runs from `start` on: while one zone soaks the next one runs; never two at a time.

    Of the zones that may run, the one with the most left goes first, as it would end last.
    """
    left = {zone: list(job.minutes) for zone, job in jobs.items() if job.minutes}
    ready = dict.fromkeys(left, start)
    now, runs = start, []
    while left:
        now = max(now, min(ready[zone] for zone in left))
        zone = max((z for z in left if ready[z] <= now), key=lambda z: _still(left[z], jobs[z]))
        minutes = left[zone].pop(0)
        runs.append(Run(zone, now, now + minutes))
        now += minutes
        ready[zone] = now + jobs[zone].rest
        if not left[zone]:
            del left[zone]
    return tuple(runs)


def _still(minutes: list[int], job: Cycles) -> int:
    return sum(minutes) + job.rest * (len(minutes) - 1)


class Fitted(Record, frozen=True):
    """runs: inside the hours. gave_up: zones left out, and the minutes that each needs."""

    runs: tuple[Run, ...]
    gave_up: Mapping[str, int]


def fit(
    jobs: Mapping[str, Cycles], hours: tuple[int, int], prefer: int, spare: frozenset[str]
) -> Fitted:
    """The runs between two times of day, from `prefer` on where that ends in time, else earlier.

    Where all do not fit, zones are given up one by one: those of `spare` before others, and of
    each kind the one that takes longest.
    """
    first, last = hours
    kept = {zone: job for zone, job in jobs.items() if job.minutes}
    gone: dict[str, int] = {}
    while kept:
        runs = weave(kept, 0)
        long = max(run.end for run in runs)
        if first + long <= last:
            start = max(first, min(prefer, last - long))
            return Fitted(tuple(Run(r.zone, r.start + start, r.end + start) for r in runs), gone)
        worst = max(kept, key=lambda z: (z in spare, _still(list(kept[z].minutes), kept[z])))
        gone[worst] = kept.pop(worst).total
    return Fitted((), gone)
