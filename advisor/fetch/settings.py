"""Whom to ask and how long to wait."""

from __future__ import annotations

import os

from advisor.base.problems import BadInput, Place
from advisor.base.record import Record


class Services(Record, frozen=True):
    """Base URLs of the built-in sources, all of them agencies of the United States.

    forecast: the National Weather Service. daily: NCEI's access data service. reference: the
    daily01 files of the Climate Reference Network.
    """

    forecast: str = "https://api.weather.gov"
    daily: str = "https://www.ncei.noaa.gov/access/services/data/v1"
    reference: str = "https://www.ncei.noaa.gov/pub/data/uscrn/products/daily01"


class Patience(Record, frozen=True):
    """How long to wait, in seconds, and how often to try.

    read: for the next piece of an answer. whole: for everything a command asks. longest_pause: a
    service that asks for a longer one is not asked again. All are our choices.
    """

    connect: float = 5.0
    read: float = 15.0
    whole: float = 60.0
    attempts: int = 4
    first_pause: float = 0.5
    longest_pause: float = 20.0


#: No daily record of one place is larger.
LARGEST_ANSWER_BYTES = 50_000_000
#: After this time a service that names no expiry is asked again (our choice).
DEFAULT_FRESH_SECONDS = 3600
#: A clock that differs from the server's by more could name the wrong day (our choice).
CLOCK_SLACK_SECONDS = 6 * 3600


def services_from_environment() -> Services:
    """The services, or a mirror of them: ADVISOR_FORECAST_URL, _DAILY_URL and _REFERENCE_URL."""
    known = Services()
    return Services(
        os.environ.get("ADVISOR_FORECAST_URL", known.forecast).rstrip("/"),
        os.environ.get("ADVISOR_DAILY_URL", known.daily).rstrip("/"),
        os.environ.get("ADVISOR_REFERENCE_URL", known.reference).rstrip("/"),
    )


def contact_for(given: str | None) -> str:
    """How the services can reach the keeper, which they ask of every program.

    given: `contact` of site.yaml. Raises `BadInput` if neither it nor ADVISOR_CONTACT says.
    """
    contact = (given or os.environ.get("ADVISOR_CONTACT", "")).strip()
    if not contact:
        what = (
            "no contact; weather services ask who calls: write 'contact: you@example.org' "
            "into site.yaml, or set ADVISOR_CONTACT"
        )
        raise BadInput.at(Place("contact"), what)
    if not contact.isascii() or not contact.isprintable():
        what = f"'{contact}' cannot be sent; wanted an e-mail address or a web address in ASCII"
        raise BadInput.at(Place("contact"), what)
    return contact
