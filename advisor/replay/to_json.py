"""A replay for other programs: stable keys, plain values, days of the year as MM-DD."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

from advisor.replay.compare import Moved
from advisor.replay.days_said import month_day
from advisor.replay.run import Replay
from advisor.replay.tables import Counts, Spread, WindowSummary, summarise

FORMAT = 1
MidsummerDay = tuple[int, int]


def replay_json(found: Replay) -> dict[str, Any]:
    """Every window of the replay."""
    return {
        **_head(found),
        "windows": [
            {**_names(found.titles[key]), **_window(summary, found.midsummer)}
            for key, summary in summarise(found.rows).items()
        ],
    }


def compared_json(before: Replay, after: Replay, moved: tuple[Moved, ...]) -> dict[str, Any]:
    """The first replay's head, and every window under both rule books."""
    return {
        **_head(before),
        "compared_with": after.rulebook,
        "windows": [
            {
                "operation": one.key[0],
                "window": one.key[1],
                **_names(one.titles),
                "before": one.before and _window(one.before, before.midsummer),
                "after": one.after and _window(one.after, before.midsummer),
                "years_changed": one.changed,
                "moved": {
                    "opens": one.opens,
                    "last_day": one.last,
                    "days_open": one.days,
                    "never": one.never,
                },
            }
            for one in moved
        ],
    }


def _head(found: Replay) -> dict[str, Any]:
    return {
        "format": FORMAT,
        "rulebook": found.rulebook,
        "site": found.site,
        "grass": found.grass,
        "record": {"from": found.first.isoformat(), "to": found.last.isoformat()},
        "season_years": list(found.seasons),
    }


def _names(titles: tuple[str, str]) -> dict[str, str]:
    return {"operation_title": titles[0], "title": titles[1]}


def _window(summary: WindowSummary, midsummer: MidsummerDay) -> dict[str, Any]:
    def day(value: float) -> str:
        return month_day(value, midsummer)

    return {
        "operation": summary.operation,
        "window": summary.window,
        "years": summary.years,
        "opened": summary.opened,
        "never": summary.never,
        "not_known": summary.not_known,
        "opens": _spread(summary.opens, day),
        "last_day": _spread(summary.last, day),
        "days_open": _spread(summary.days, lambda value: round(value, 1)),
        "opened_by": _counts(summary.opened_by),
        "ended_by": _counts(summary.ended_by),
        "kept_shut_by": _counts(summary.kept_shut_by),
        "by_week": [
            {"week": week + 1, "from": day(7 * week), "share": round(share, 3)}
            for week, share in enumerate(summary.weeks)
            if not math.isnan(share)
        ],
    }


def _spread(spread: Spread | None, say: Callable[[float], Any]) -> dict[str, Any] | None:
    return spread and dict(zip(("p10", "p50", "p90"), map(say, spread), strict=True))


def _counts(counts: Counts) -> list[dict[str, Any]]:
    return [{"condition": condition, "years": years} for condition, years in counts]
