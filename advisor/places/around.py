"""What the nearest towns tell of a position."""

from __future__ import annotations

from advisor.places.gazetteer import nearest_towns
from advisor.places.town import Spot, Town

# Farther than this the nearest town tells nothing of a place.
_FARTHEST_KM = 100.0
# A town this much farther than the nearest may be the one whose state or zone the place is in.
_NEARLY_KM = 10.0


def nearest(latitude: float, longitude: float) -> Town | None:
    """The nearest town, at most 100 km away. Degrees north and east."""
    found = nearest_towns(latitude, longitude, _FARTHEST_KM)
    return found[0][1] if found else None


def around(
    latitude: float, longitude: float, kind: str, country: str = "", subdivision: str = ""
) -> Spot:
    """A spot with its nearest town's name, zone and codes; never its elevation.

    country, subdivision: what is known already; only towns there count then, if one is near.
    """
    near = nearest_towns(latitude, longitude, _FARTHEST_KM, 12)
    own = [
        pair
        for pair in near
        if country in ("", pair[1].country) and subdivision in ("", pair[1].subdivision)
    ]
    near = own or near
    if not near:
        note = "No town of the gazetteer lies within 100 km, so the time zone is not known."
        other = nearest(longitude, latitude) if abs(longitude) <= 90 else None
        if other:
            note += f" With the two numbers exchanged it would lie near {other.label}."
        return Spot(latitude, longitude, kind, "", None, "", country, subdivision, 0, note)
    distance, town = near[0]
    rivals = [t for km, t in near[1:] if km <= max(distance + _NEARLY_KM, 2 * distance)]
    return Spot(
        latitude,
        longitude,
        kind,
        town.name,
        None,
        town.time_zone,
        country or town.country,
        subdivision or town.subdivision,
        town.population,
        _doubt(town, rivals),
    )


def _doubt(town: Town, rivals: list[Town]) -> str:
    """A sentence where a town about as near lies in another country, state or time zone."""
    for other in rivals:
        parts = [
            word
            for word, here, there in (
                ("country", town.country, other.country),
                ("state or province", town.subdivision, other.subdivision),
                ("time zone", town.time_zone, other.time_zone),
            )
            if here != there
        ]
        if parts:
            what = " and ".join(parts)
            return f"{other.label} is about as near as {town.label}: check the {what}."
    return ""
