"""The numbers behind the shopping list, as data."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.base.record import Record
from advisor.rulebook.evidence import Evidence


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
