"""What `stop`, `behind` and a question of somebody at work print."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import typer

from advisor.base.dates import DAY_MIN
from advisor.base.problems import BadInput, Place

if TYPE_CHECKING:
    from advisor.advice.book import Advice


def say_stop(advice: Advice, at: int | None, late: int, *, as_json: bool) -> None:
    """Whether the day's work can be left. at: minutes after midnight; late: minutes behind."""
    from advisor.planning.day_progress import progress_of
    from advisor.planning.on_day import settled_today
    from advisor.planning.stop import too_late_for_the_shop, where_to_stop
    from advisor.render.sheets.stop_text import nothing_json, nothing_today, stop_json, stop_text

    day = settled_today(advice)
    if day is None:
        _say(nothing_today(advice), nothing_json(advice), as_json=as_json)
        return
    come = None if at is None else max(0, at - late)
    progress = progress_of(day, come)
    gone = too_late_for_the_shop(day.pieces, progress, at, day.day.shop)
    found = where_to_stop(day.pieces, advice.case.book.work, progress, gone)
    data = stop_json(day, found, progress, come) if as_json else {}
    _say("" if as_json else stop_text(day, found, progress, come, at), data, as_json=as_json)


def say_behind(advice: Advice, late: int, at: int | None, *, as_json: bool) -> None:
    """What of the rest of the day still fits. Raises `BadInput` for an hour past midnight."""
    from advisor.planning.behind import compose_behind
    from advisor.planning.day_progress import hour_of, progress_of
    from advisor.planning.on_day import settled_today
    from advisor.render.sheets.behind_text import behind_json, behind_text
    from advisor.render.sheets.stop_text import nothing_json, nothing_today

    day = settled_today(advice)
    if day is None or not day.pieces:
        _say(nothing_today(advice), nothing_json(advice), as_json=as_json)
        return
    come = None if at is None else max(0, at - late)
    progress = progress_of(day, come)
    now = at if at is not None else hour_of(day, progress) + late
    if now >= DAY_MIN:
        raise BadInput.at(Place("TIME"), "goes past midnight; say how late it is with --at")
    found = compose_behind(day, progress, now)
    data = behind_json(day, found) if as_json else {}
    _say("" if as_json else behind_text(day, found, progress, come), data, as_json=as_json)


def _say(text: str, data: dict[str, Any], *, as_json: bool) -> None:
    if as_json:
        import json

        text = json.dumps(data, ensure_ascii=False, indent=2)
    typer.echo(text.rstrip("\n"))
