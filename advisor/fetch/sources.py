"""Which sources serve a site: the built-in ones of the United States, or the keeper's own."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

from advisor.base.problems import BadInput, Place
from advisor.base.record import Record
from advisor.fetch.batch import Batch, degrees
from advisor.fetch.client import Client
from advisor.fetch.daily_json import fetch_daily_json
from advisor.fetch.forecast_us import fetch_forecast_us
from advisor.fetch.history_us import check_station, fetch_history_us
from advisor.fetch.settings import Services
from advisor.records.record import Site
from advisor.records.sections import DailyJson, WeatherSource

#: The United States and its territories.
_SERVED = ("US", "PR", "VI", "GU", "MP", "AS", "UM")
_FORECAST_DAYS = 20


class Sources(Record, frozen=True):
    """What can be asked for a site, None for what cannot.

    history: from a client, the first day wanted and today. station: whose history, or the name of
    the source. terms: to be shown to the keeper.
    """

    forecast: Callable[[Client, dt.date], Batch] | None
    history: Callable[[Client, dt.date, dt.date], Batch] | None
    station: str
    terms: str = ""


def sources_of(site: Site, services: Services, station: str | None = None) -> Sources:
    """The sources of a site. station: instead of the one of site.yaml.

    Raises `BadInput` where none serves the place, or for a station that is none.
    """
    chosen = site.weather_source
    if chosen is not None and chosen.answers is not None:
        if station is not None:
            what = "site.yaml names a source of its own, which has no stations; leave it out"
            raise BadInput.at(Place("--station"), what)
        return _own(site, chosen, chosen.answers)
    if site.place.country not in (None, *_SERVED):
        what = (
            f"no built-in weather source for {site.place.country}, only for the United States; "
            "describe one under 'weather_source' in site.yaml (docs/weather_online.md), or keep "
            "weather.csv yourself"
        )
        raise BadInput.at(Place("place.country"), what)
    place, named = site.place, station or (chosen.station if chosen else None)
    if named is not None:
        check_station(named, Place("--station" if station else "weather_source.station"))

    def forecast(client: Client, today: dt.date) -> Batch:
        zone = place.time_zone
        return fetch_forecast_us(client, services.forecast, place.latitude, place.longitude, zone)

    def history(client: Client, first: dt.date, today: dt.date) -> Batch:
        assert named is not None
        return fetch_history_us(client, services, named, first, today)

    return Sources(forecast, history if named else None, named or "")


def _own(site: Site, chosen: WeatherSource, answers: DailyJson) -> Sources:
    forecast_at, history_at = answers.forecast, answers.history
    attribution = chosen.attribution or ""
    for address in (forecast_at, history_at):
        if address and "{time_zone}" in address and site.place.time_zone is None:
            what = "the address of the weather source asks for it; write it into site.yaml"
            raise BadInput.at(Place("place.time_zone"), what)

    def forecast(client: Client, today: dt.date) -> Batch:
        assert forecast_at is not None
        last = today + dt.timedelta(days=_FORECAST_DAYS)
        return fetch_daily_json(
            client, answers, forecast_at, _blanks(site, today, last), f"forecast: {attribution}",
            limits=(today, last), issued=True,
        )  # fmt: skip

    def history(client: Client, first: dt.date, today: dt.date) -> Batch:
        assert history_at is not None
        last = today - dt.timedelta(days=1)
        return fetch_daily_json(
            client, answers, history_at, _blanks(site, first, last), attribution,
            limits=(first, last), issued=False,
        )  # fmt: skip

    return Sources(
        forecast if forecast_at else None,
        history if history_at else None,
        attribution,
        chosen.terms or "",
    )


def _blanks(site: Site, first: dt.date, last: dt.date) -> dict[str, str]:
    place = site.place
    return {
        "latitude": degrees(place.latitude),
        "longitude": degrees(place.longitude),
        "time_zone": place.time_zone or "",
        "from": first.isoformat(),
        "to": last.isoformat(),
    }
