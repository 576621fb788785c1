"""Signs of the season that could open or close a sowing window, and their limits by grid search.

Used by windows.py beside this file.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from itertools import product

import numpy as np
from numpy.typing import NDArray
from published_pairs import Pair, Values, ask

from advisor.decide.windows.interval import find_intervals
from advisor.signals.running import trailing_mean
from advisor.signals.season_shape import past_warm_peak

AFTER_MIDSUMMER, HELD = 30, 3
FAR = 400.0

Truth = NDArray[np.int8]
Limits = tuple[tuple[str, str, float], ...]
"""(sign, "under" or "over", limit): all must hold to open, any closes."""


@cache
def signs(name: str) -> Mapping[str, Values]:
    """Arrays (members, days): °F where temperatures, °C where a fall, days where distances."""
    asked = ask(name)
    facts, at = asked.facts, asked.season
    columns = facts.axis.columns
    mean = (columns["air_max_c"] + columns["air_min_c"]) / 2
    soil = facts.soil_mean(5)
    days = np.arange(soil.shape[1])
    freezing = (columns["air_min_c"] <= 0.0) & (days >= at.midsummer + 40)
    cold = (soil < (40 - 32) / 1.8) & (days >= at.midsummer + 60) & (days < at.midwinter + 60)
    week = np.lib.stride_tricks.sliding_window_view(cold, 7, axis=1).all(axis=2)
    warm = (soil >= (54 - 32) / 1.8) & (days < at.midwinter)
    last_warm = soil.shape[1] - np.argmax(warm[:, ::-1], axis=1)
    return {
        "soil": soil * 1.8 + 32,
        "nights": trailing_mean(columns["air_min_c"], 10) * 1.8 + 32,
        "fall": past_warm_peak(mean, start=at.midsummer - 20).below_peak_c,
        "room": facts.room(),
        "day length": np.broadcast_to(facts.day_length(), soil.shape),
        "days to freeze": _first(freezing)[:, None] - days,
        "days to 54 F": last_warm[:, None].astype(np.float64) - days,
        "days to 40 F": _first(np.asarray(week))[:, None] - days,
    }


def _first(flags: NDArray[np.bool_]) -> Values:
    found: Values = np.where(flags.any(axis=1), flags.argmax(axis=1), flags.shape[1] + FAR)
    return found


def truth(name: str, limits: Limits, join: Callable[..., Truth]) -> Truth:
    """1, 0 or -1 (unknown) for each member and day; join: np.minimum (all) or np.maximum (any)."""
    parts = []
    for sign, comparison, limit in limits:
        values = signs(name)[sign]
        holds = values < limit if comparison == "under" else values >= limit
        parts.append(np.where(np.isnan(values), -1, holds).astype(np.int8))
    return parts[0] if len(parts) == 1 else join(*parts)


def opening(name: str, limits: Limits) -> float:
    """Median first open day (index); midwinter stands for a year in which it does not open."""
    at = ask(name).season
    tree = truth(name, limits, np.minimum)
    found = find_intervals(tree, None, at.midsummer + AFTER_MIDSUMMER, at.midwinter, HELD)
    return float(np.median(np.where(found.opens < 0, at.midwinter, found.opens)))


def closing(name: str, limits: Limits) -> float:
    """Median last open day (index)."""
    at = ask(name).season
    tree = truth(name, limits, np.maximum)
    first = at.midsummer + AFTER_MIDSUMMER
    found = find_intervals(np.ones_like(tree), tree, first, at.midwinter)
    return float(np.median(found.closes)) - 1


def grid(*axes: tuple[str, str, Iterable[float]]) -> list[Limits]:
    """Every combination of limits."""
    one = [[(sign, how, float(limit)) for limit in limits] for sign, how, limits in axes]
    return [tuple(chosen) for chosen in product(*one)]


SOIL, NIGHTS = np.arange(68, 82.1, 1), np.arange(56, 72.1, 1)
FALL, ROOM, HOURS = np.arange(0.25, 1.51, 0.25), np.arange(250, 751, 10), np.arange(10, 13.6, 0.1)
OPENINGS = {
    "soil under": grid(("soil", "under", SOIL)),
    "night lows under": grid(("nights", "under", NIGHTS)),
    "air past its peak by": grid(("fall", "over", FALL)),
    "past peak, and night lows": grid(("fall", "over", FALL), ("nights", "under", NIGHTS)),
    "past peak, and soil (shipped)": grid(("fall", "over", FALL), ("soil", "under", SOIL)),
}
CLOSINGS = {
    "day length under": grid(("day length", "under", HOURS)),
    "days to first 32 °F night": grid(("days to freeze", "under", np.arange(0, 71, 2))),
    "days to soil under 54 °F": grid(("days to 54 F", "under", np.arange(20, 81, 2))),
    "days to a week under 40 °F": grid(("days to 40 F", "under", np.arange(50, 100, 2))),
    "room left, or day length": grid(
        ("room", "under", ROOM[::2]), ("day length", "under", np.arange(10.4, 12.6, 0.2))
    ),
    "room left, or days to 40 °F": grid(
        ("room", "under", ROOM[::2]), ("days to 40 F", "under", np.arange(60, 84, 2))
    ),
    "room left under (shipped)": grid(("room", "under", ROOM)),
}


@dataclass(frozen=True)
class Fitted:
    """A family of signs: its limits from the fit half, and errors (computed minus printed, days)
    with them and with each place's own left out."""

    name: str
    limits: Limits
    errors: Values
    left_out: Values


def fit(pairs: list[Pair], families: Mapping[str, list[Limits]], which: str) -> list[Fitted]:
    """Limits of least mean absolute error on the fit half; and each place predicted without it."""
    find = opening if which == "opens" else closing
    half = np.array([pair.role == "fit" for pair in pairs])
    places = np.array([pair.weather for pair in pairs])
    printed = np.array([ask(p.weather).index(getattr(p, which)) for p in pairs])
    out = []
    for name, candidates in families.items():
        days = np.array([[find(pair.weather, limits) for pair in pairs] for limits in candidates])
        errors = days - printed
        left_out = np.empty(len(pairs))
        for place in set(places):
            left_out[places == place] = errors[_best(errors, places != place)][places == place]
        best = _best(errors, half)
        out.append(Fitted(name, candidates[best], errors[best], left_out))
    return out


def _best(errors: Values, among: NDArray[np.bool_]) -> int:
    return int(np.argmin(np.abs(errors[:, among]).mean(axis=1)))
