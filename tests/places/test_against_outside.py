"""The gazetteer against other people's data: IANA, a second ZIP package, ISO 3166."""

from __future__ import annotations

import datetime as dt
import json
import re
from importlib.resources import files
from zoneinfo import ZoneInfo, available_timezones

import pycountry
import pytest
import zipcodes

from advisor.base.strict_yaml import load_text
from advisor.places.around import nearest
from advisor.places.distance import EARTH_KM, distance_km
from advisor.places.locate import locate
from advisor.places.regions import table
from advisor.records.place_checks import place_problems


def _degrees(text: str) -> float:
    """`-0725` or `+404251`: degrees, two places of minutes, and two of seconds or none."""
    figures = text[1:]
    whole = len(figures) - (4 if len(figures) > 5 else 2)
    minutes, seconds = int(figures[whole : whole + 2]), int(figures[whole + 2 :] or 0)
    size = int(figures[:whole]) + minutes / 60 + seconds / 3600
    return -size if text[0] == "-" else size


def _zone_tab() -> list[tuple[str, str, float, float]]:
    """Zone, country and degrees of each zone's principal location (IANA, zone.tab)."""
    text = files("tzdata").joinpath("zoneinfo", "zone.tab").read_text(encoding="utf-8")
    rows = []
    for line in text.splitlines():
        if not line.startswith("#"):
            country, spot, zone = line.split("\t")[:3]
            found = re.fullmatch(r"([+-]\d+)([+-]\d+)", spot)
            assert found
            rows.append((zone, country, _degrees(found[1]), _degrees(found[2])))
    return rows


# IANA's principal location and the nearest town are not of one zone: the town lies over a border or
# the water, or GeoNames gives the zone of the district's capital.
ELSEWHERE = {
    "Australia/Lindeman", "America/Blanc-Sablon", "Africa/Bangui", "Africa/Ceuta", "Europe/Monaco",
    "Asia/Macau", "Asia/Khandyga", "Asia/Ust-Nera", "Asia/Srednekolymsk",
}  # fmt: skip


def test_time_zones_agree_with_the_principal_locations_of_iana() -> None:
    told, other = 0, set()
    for zone, country, latitude, longitude in _zone_tab():
        town = nearest(latitude, longitude)
        if town is not None:
            told += 1
            if (town.time_zone, town.country) != (zone, country):
                other.add(zone)
    assert told > 390
    assert other <= ELSEWHERE


def _same_time(zone: str, other: str) -> bool:
    moments = [dt.datetime(2026, month, 1, tzinfo=dt.UTC) for month in (1, 7)]
    here, there = ZoneInfo(zone), ZoneInfo(other)
    return all(
        moment.astimezone(here).utcoffset() == moment.astimezone(there).utcoffset()
        for moment in moments
    )


def test_zip_codes_agree_with_a_second_package() -> None:
    """Package `zipcodes` (GeoNames' postal file and USPS), every 800th code of ours."""
    lines = [line.split("\t") for line in table("postcodes").split("\n")[1:-1]]
    ours = [cells[0] for cells in lines if cells[1] == "US"]
    assert len(ours) > 33_000
    compared, far = 0, []
    for code in ours[::800]:
        (spot,) = locate(code)
        (other,) = zipcodes.matching(code)
        away = distance_km(spot.latitude, spot.longitude, float(other["lat"]), float(other["long"]))
        compared += 1
        far.append(away)
        assert spot.subdivision == other["state"]
        assert _same_time(spot.time_zone, other["timezone"]), code
    assert compared > 40
    assert sorted(far)[int(0.9 * compared)] < 10, sorted(far)[-9:]
    assert max(far) < 60, sorted(far)[-9:]


@pytest.mark.parametrize(
    ("code", "town", "latitude", "longitude"),
    [
        # GeoNames' postal code search, from memory to a tenth of a degree.
        ("K1A 0B1", "Ottawa", 45.4, -75.7),
        ("N1G 2W1", "Guelph", 43.5, -80.2),
        ("2000 NSW", "Sydney", -33.9, 151.2),
        ("3000 VIC", "Melbourne", -37.8, 145.0),
        ("1050, Belgium", "Brussels", 50.8, 4.4),
        ("00-950", "Warsaw", 52.2, 21.0),
    ],
)
def test_codes_of_other_countries(code: str, town: str, latitude: float, longitude: float) -> None:
    (spot,) = locate(code)
    assert (spot.latitude, spot.longitude) == pytest.approx((latitude, longitude), abs=0.06), town


def test_codes_and_zones_are_those_of_iso_3166_and_iana() -> None:
    zones = available_timezones()
    parts = {part.code for part in pycountry.subdivisions}
    countries = {country.alpha_2 for country in pycountry.countries}
    towns = [line.split("\t") for line in table("towns").splitlines() if line[:1] == "|"]
    assert len(towns) > 230_000
    assert {cells[5] for cells in towns} <= zones
    assert {cells[6] for cells in towns} <= countries | {""}
    used = {f"{cells[6]}-{cells[7]}" for cells in towns if cells[7]}
    # The two lists are renewed at different times.
    assert len(used - parts) <= len(used) * 0.03, sorted(used - parts)
    for country in ("US", "CA", "AU", "NZ", "GB", "DE"):
        assert {code for code in used - parts if code.startswith(country)} == set()
    whole = [cells for cells in towns if cells[6] in ("US", "CA", "AU", "GB", "NZ", "DE")]
    assert sum(bool(cells[7]) for cells in whole) / len(whole) > 0.999


@pytest.mark.parametrize(
    ("here", "there", "km", "radius"),
    [
        # R. W. Sinnott's formula as worked on Rosetta Code: Nashville to Los Angeles, R 6372.8 km.
        ((36.12, -86.67), (33.94, -118.40), 2887.2599506071, 6372.8),
        # C. Veness, Calculate distance between latitude/longitude points: Land's End to
        # John o'Groats, R 6371 km.
        ((50.066389, -5.714722), (58.643889, -3.07), 968.9, 6371.0),
    ],
)
def test_distance(
    here: tuple[float, float], there: tuple[float, float], km: float, radius: float
) -> None:
    # Printed to a tenth of a km, or to more places.
    ours = distance_km(*here, *there) * radius / EARTH_KM
    assert ours == pytest.approx(km, abs=0.06)


@pytest.mark.parametrize(
    ("text", "feet"), [("Denver, CO", 5280), ("Leadville, CO", 10_158), ("Key West, Florida", 8)]
)
def test_elevations_are_those_the_towns_are_known_for(text: str, feet: int) -> None:
    """As the towns give them; GeoNames measures at another spot of the town."""
    (spot,) = locate(text)
    assert spot.elevation == pytest.approx(feet * 0.3048, abs=25)


def test_what_is_found_passes_the_checks_of_a_site() -> None:
    """Country sides and zone longitudes, written apart from the gazetteer: every 100th town."""
    towns = [line.split("\t") for line in table("towns").splitlines() if line[:1] == "|"]
    for cells in towns[::100]:
        keys = {"latitude": float(cells[2]), "longitude": float(cells[3]), "time_zone": cells[5]}
        keys |= {"country": cells[6], "subdivision": cells[7]} if cells[7] else {}
        document = load_text(json.dumps({"place": keys}), "f")
        assert list(place_problems(document, dt.date(2026, 9, 16))) == []
