"""Two names in a question that together mean a third operation (`water after seeding`)."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable

from advisor.answers.main_operation import Roles
from advisor.answers.question_text import Mention

_WATERING = "watering"
_OF_SEED, _OF_BROWN_TURF = "seedling_watering", "drought_dormancy"
_SOWN = frozenset(
    {"overseeding", "dormant_seeding", "spring_seeding", "new_seeding", "rye_overseeding"}
    | {"patch_repair"}
)


def joined(
    operation: str,
    main: Mention,
    mentions: Iterable[Mention],
    id_of: Callable[[Mention], str],
    text: str,
    roles: Roles,
    known: frozenset[str],
) -> tuple[str, frozenset[str]]:
    """The operation meant by watering and what is watered, and the names that went into it.

    Without such a pair `operation` as it stands, and no names. Watering before a sowing, and
    watering or sowing, stay what they are.
    """
    if operation != _WATERING:
        return operation, frozenset()
    for other in mentions:
        first, last = sorted((main.start, other.start))
        apart = roles.at(other.start) == "circumstance" or re.search(r"\bor\b", text[first:last])
        if other is main or apart:
            continue
        id = id_of(other)
        meant = _OF_SEED if id in _SOWN else id
        if meant in (_OF_SEED, _OF_BROWN_TURF) and meant in known:
            return meant, frozenset({operation, id})
    return operation, frozenset()
