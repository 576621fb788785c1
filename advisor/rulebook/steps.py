"""The machines that do the work, and the steps of each job, as data."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.base.record import Record
from advisor.rulebook.evidence import Evidence


class Machine(Record, frozen=True):
    """width in m, speed in m/s, efficiency from 0 to 1, met: effort as a multiple of rest.

    hired: the usual block of hire in h, None if nobody hires it. second: loading takes two people.
    """

    id: str
    title: str
    width_m: float
    speed_m_s: float
    efficiency: float
    met: float
    hired_h: float | None
    second: bool
    evidence: tuple[str, ...]


class Step(Record, frozen=True):
    """Either so many passes of a machine, or a range of minutes by hand for 1,000 ft² (93 m²).

    check: what to look at after the first strip, or empty. stop: what holds if the work has to stop
    after this step. breaks_soil: whether it is the one that does, of a job that breaks the soil.
    """

    id: str
    title: str
    machine: str | None
    passes: int
    by_hand_min: tuple[float, float] | None
    met: float
    check: str
    stop: str
    evidence: tuple[str, ...]
    breaks_soil: bool = False


class Work(Record, frozen=True):
    """steps: by operation, in working order."""

    machines: Mapping[str, Machine]
    steps: Mapping[str, tuple[Step, ...]]
    evidence: Mapping[str, Evidence]


NO_WORK = Work({}, {}, {})
