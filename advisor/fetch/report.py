"""The whole of `advisor weather`: a site's folder in, what there is now out."""

from __future__ import annotations

from pathlib import Path

from advisor.base.dates import ONE_DAY, today
from advisor.base.problems import BadInput, Place
from advisor.fetch.refresh import Outcome, cached, refresh, stored_station
from advisor.fetch.settings import Patience, Services, contact_for, services_from_environment
from advisor.fetch.sources import sources_of
from advisor.records.read_site import read_site
from advisor.weather.cells import OLDEST

_NO_STATION = (
    "no station is named, so no history is fetched: write 'weather_source: {kind: us, station: "
    "USW00094996}' with one near you into site.yaml, or use --station"
)


def fetch_weather(
    folder: Path,
    station: str | None = None,
    from_year: int | None = None,
    *,
    offline: bool = False,
    services: Services | None = None,
    patience: Patience | None = None,
) -> tuple[Outcome, ...]:
    """Renew the fetched weather of a site's folder, or with `offline` only look at it.

    Raises `BadInput` for a site, station, year or contact that is of no use; a source that fails
    is told in the outcomes.
    """
    site = read_site(folder, None, today() + ONE_DAY)
    this_year = today(site.place.time_zone).year
    if from_year is not None and not OLDEST.year <= from_year <= this_year:
        what = f"{from_year} is no year of a record; wanted {OLDEST.year} to {this_year}"
        raise BadInput.at(Place("--from"), what)
    if offline:
        return cached(folder)
    asked = services or services_from_environment()
    sources = sources_of(site, asked, station)
    own = site.weather_source is not None and site.weather_source.kind == "daily_json"
    if sources.history is None and not own and (stored := stored_station(folder)):
        sources = sources_of(site, asked, stored)
    contact = contact_for(site.contact)
    forecast, history = refresh(site, folder, sources, contact, from_year, patience)
    if sources.history is None and not own:
        history = Outcome(f"{history.line} ({_NO_STATION})", history.there, history.trouble)
    terms = f"terms of the source: {sources.terms}" if sources.terms else ""
    more = (Outcome(terms, False),) if terms else ()
    return (forecast, history, *more)
