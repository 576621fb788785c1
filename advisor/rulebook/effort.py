"""What a job takes, as data: hours, machines, steps, bags, and the numbers of the shopping list."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from advisor.base.record import Record
from advisor.rulebook.conditions import Evidence


class Effort(Record, frozen=True):
    """Hours and debris. Each pair is a range; minutes are for one person and 1,000 ft²."""

    minutes_per_1000_ft2: tuple[float, float]
    machine: str = ""
    debris_bags_per_1000_ft2: tuple[float, float] | None = None
    evidence: tuple[str, ...] = ()


class Spreads(Record, frozen=True):
    """What an operation spreads, and the most of it at a time, g/m²."""

    what: Literal["nitrogen", "lime"]
    most: float
    evidence: tuple[str, ...]


class Machine(Record, frozen=True):
    """width in m, speed in m/s, efficiency from 0 to 1, met: effort as a multiple of rest.

    hired: the usual block of hire in h, None if nobody hires it. second: loading takes two people.
    fetch to return: minutes of one person for each hire, beside the work; the middle of the range,
    0 for a machine that nobody hires. does: the jobs in whose steps it stands, and those that it
    can do instead. engine: whether it has one, and is heard.
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
    fetch_min: float = 0.0
    learn_min: float = 0.0
    load_min: float = 0.0
    clean_min: float = 0.0
    return_min: float = 0.0
    door_evidence: tuple[str, ...] = ()
    does: frozenset[str] = frozenset()
    does_evidence: tuple[str, ...] = ()
    engine: bool = False


class Step(Record, frozen=True):
    """Either so many passes of a machine, or a range of minutes by hand for 1,000 ft² (93 m²).

    check: what to look at after the first strip, or empty. stop: what holds if the work has to stop
    after this step. breaks_soil: whether it is the one that does, of a job that breaks the soil.
    can_wait: whether the step after it may be done on another day without harm. whole: once begun
    it is finished the same day. owes: the ids of later steps that follow the same day once it is
    begun. said: why, for a step that is whole or owes another.
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
    can_wait: bool = False
    whole: bool = False
    owes: tuple[str, ...] = ()
    said: str = ""


class Work(Record, frozen=True):
    """steps: by operation, in working order. hired_said: why a hired machine goes back the same
    day, with what stands behind it."""

    machines: Mapping[str, Machine]
    steps: Mapping[str, tuple[Step, ...]]
    evidence: Mapping[str, Evidence]
    hired_said: str = ""
    hired_evidence: tuple[str, ...] = ()


NO_WORK = Work({}, {}, {})


class SupplyNumbers(Record, frozen=True):
    """Values by name, in canonical units, and what stands behind each."""

    values: Mapping[str, float]
    behind: Mapping[str, tuple[Evidence, ...]]

    def __getitem__(self, name: str) -> float:
        return self.values[name]

    def evidence(self, *names: str) -> tuple[Evidence, ...]:
        """What stands behind some values, each once."""
        return tuple(dict.fromkeys(e for name in names for e in self.behind[name]))


NO_SUPPLIES = SupplyNumbers({}, {})
