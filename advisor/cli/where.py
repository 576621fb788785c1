"""Asking where a lawn lies, until the answer is one place."""

from __future__ import annotations

import typer

from advisor.base.problems import BadInput, Place
from advisor.places.locate import locate
from advisor.places.town import Spot

_MOST_LISTED = 9
_TRIES = 3


def ask_where() -> Spot:
    """Ask, let the keeper pick among namesakes, and ask again after a slip.

    Raises `BadInput` after the third answer of no use.
    """
    for tries in range(1, _TRIES + 1):
        try:
            spots = locate(typer.prompt("Where is it? (town, postcode or latitude, longitude)"))
            return spots[0] if len(spots) == 1 else _pick(spots)
        except BadInput as error:
            if tries == _TRIES:
                raise
            typer.echo(str(error), err=True)
    raise AssertionError("unreachable")


def only_place(text: str) -> Spot:
    """The one place a text means. Raises `BadInput`, which lists the choices, if it is several."""
    spots = locate(text)
    if len(spots) == 1:
        return spots[0]
    what = f"'{text}' is {len(spots)} places; write which, or its latitude and longitude: "
    raise BadInput.at(Place("--where"), f"{what}{'; '.join(_lines(spots))}{_more(spots)}")


def told(spot: Spot) -> str:
    """What was found, as a sentence or two."""
    near = "" if spot.kind == "town" or not spot.town else "near "
    zone = f", time zone {spot.time_zone}" if spot.time_zone else ""
    return f"Found: {near}{spot.label}{zone}.{f' {spot.note}' if spot.note else ''}"


def _pick(spots: tuple[Spot, ...]) -> Spot:
    for number, line in enumerate(_lines(spots), 1):
        typer.echo(f"  {number}. {line}")
    last = min(len(spots), _MOST_LISTED)
    question = f"Which one? (1 to {last}{_more(spots)})"
    answer = typer.prompt(question).strip()
    if answer.isdecimal() and 1 <= int(answer) <= last:
        return spots[int(answer) - 1]
    # Somebody who does not see the place in the list writes it out.
    written = locate(answer)
    if len(written) > 1:
        raise BadInput.at(Place("the place"), f"'{answer}' is {len(written)} places as well")
    return written[0]


def _lines(spots: tuple[Spot, ...]) -> list[str]:
    """The labels; with degrees where the same words would stand twice."""
    shown = [spot.label for spot in spots[:_MOST_LISTED]]
    return [
        f"{spot.label} ({spot.latitude:g}, {spot.longitude:g})" if shown.count(label) > 1 else label
        for spot, label in zip(spots, shown, strict=False)
    ]


def _more(spots: tuple[Spot, ...]) -> str:
    rest = len(spots) - _MOST_LISTED
    return f"; or one of {rest} more, with its state or country" if rest > 0 else ""
