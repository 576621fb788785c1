"""What a keeper types, and the places it finds. The places are real; their data are GeoNames'."""

from __future__ import annotations

import socket

import pytest

from advisor.base.problems import BadInput
from advisor.places.around import around, nearest
from advisor.places.fold import fold
from advisor.places.locate import locate
from advisor.places.postcodes import postcodes


@pytest.fixture(autouse=True)
def offline(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever asks the network fails."""

    def refuse(*_: object) -> None:
        raise AssertionError("the gazetteer asked the network")

    monkeypatch.setattr(socket.socket, "connect", refuse)
    monkeypatch.setattr(socket, "getaddrinfo", refuse)


def found(text: str) -> str:
    (spot,) = locate(text)
    return f"{spot.town}|{spot.subdivision}|{spot.country}|{spot.time_zone}"


def refusal(text: str) -> str:
    with pytest.raises(BadInput) as caught:
        locate(text)
    (problem,) = caught.value.problems
    return str(problem)


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("Springfield, IL", "Springfield|IL|US|America/Chicago"),
        ("springfield il", "Springfield|IL|US|America/Chicago"),
        ("Springfield, Illinois, USA", "Springfield|IL|US|America/Chicago"),
        ("Portland Oregon", "Portland|OR|US|America/Los_Angeles"),
        ("Christchurch, New Zealand", "Christchurch|CAN|NZ|Pacific/Auckland"),
        ("Norwich UK", "Norwich|ENG|GB|Europe/London"),
        ("NORWICH, England", "Norwich|ENG|GB|Europe/London"),
        ("44691", "Wooster|OH|US|America/New_York"),
        ("44691-1234", "Wooster|OH|US|America/New_York"),
        ("Wooster, OH 44691", "Wooster|OH|US|America/New_York"),
        ("n1g2w1", "Guelph|ON|CA|America/Toronto"),
        ("Guelph, CA", "Guelph|ON|CA|America/Toronto"),
        ("Paris, TX", "Paris|TX|US|America/Chicago"),
        ("Columbus Georgia", "Columbus|GA|US|America/New_York"),
        ("Mt. Vernon, WA", "Mount Vernon|WA|US|America/Los_Angeles"),
        ("St Louis MO", "St. Louis|MO|US|America/Chicago"),
        ("zurich", "Zürich|ZH|CH|Europe/Zurich"),
        ("MÜNCHEN", "Munich|BY|DE|Europe/Berlin"),
        ("Vincennes, Indiana", "Vincennes|IN|US|America/Indiana/Vincennes"),
        ("00601", "Adjuntas||PR|America/Puerto_Rico"),
    ],
)
def test_towns_and_postcodes(text: str, wanted: str) -> None:
    assert found(text) == wanted


@pytest.mark.parametrize(
    ("text", "latitude", "longitude"),
    [
        ("41.4, -81.9", 41.4, -81.9),
        ("41.4 -81.9", 41.4, -81.9),
        ("41.4N 81.9W", 41.4, -81.9),
        ("41.4° N, 81.9° W", 41.4, -81.9),
        ("41,4; -81,9", 41.4, -81.9),
        ("41,4 −81,9", 41.4, -81.9),
        ("43.53S, 172.63E", -43.53, 172.63),
    ],
)
def test_degrees(text: str, latitude: float, longitude: float) -> None:
    (spot,) = locate(text)
    assert (spot.latitude, spot.longitude) == (latitude, longitude)
    assert spot.time_zone in ("America/New_York", "Pacific/Auckland")
    assert spot.elevation is None


def test_namesakes_come_largest_first_and_their_labels_find_them_again() -> None:
    spots = locate("Springfield")
    assert len(spots) > 10
    people = [spot.population for spot in spots]
    assert people == sorted(people, reverse=True)
    assert {spot.subdivision for spot in spots[:3]} == {"MO", "MA", "IL"}
    for spot in spots[:9]:
        assert spot in locate(spot.label)


def test_one_code_of_several_countries_asks_which() -> None:
    assert {spot.country for spot in locate("2000")} == {"AU", "BE", "DK"}
    assert found("2000, NSW").endswith("|NSW|AU|Australia/Sydney")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("Woster, Ohio", "'Woster, Ohio' is no town known in Ohio, did you mean 'Wooster'?"),
        ("Springfield, Ilinois", "'Ilinois' is no country, state or province known here, did you"),
        ("NR1 1AA", "has the form of a British postcode, and those are not in the gazetteer; "),
        ("W1A 1AA", "write the town, such as 'Norwich UK'"),
        ("75001, France", "is no postcode of the gazetteer (it has those of: United States, Can"),
        ("200 300", "lies off the globe"),
        ("141.1, 41", "has the latitude second; write it first"),
        ("", "is no town known; wanted a town such as 'Springfield, IL', a postcode, or latitude"),
        ("1,2,3", "'3' is no country, state or province known here"),
    ],
)
def test_a_slip_is_told_in_one_problem(text: str, said: str) -> None:
    assert said in refusal(text)


@pytest.mark.parametrize(
    "text", ["|", "\t", "(", "[a", "\\", "a|b", "a\tb", "\n", ".*", "x" * 5000]
)
def test_odd_letters_are_no_town(text: str) -> None:
    assert "is no town known" in refusal(text)


def test_a_border_near_by_is_told() -> None:
    spot = around(39.1, -94.6, "coordinates")
    assert spot.time_zone == "America/Chicago"
    assert spot.note.endswith("check the state or province.")
    assert around(40.805, -81.936, "coordinates").note == ""


def test_far_from_any_town_nothing_is_guessed() -> None:
    assert nearest(0, 0) is None
    spot = around(-81.9, 41.4, "coordinates")
    assert (spot.town, spot.time_zone, spot.country) == ("", "", "")
    assert "With the two numbers exchanged it would lie near North Olmsted, Ohio" in spot.note


@pytest.mark.parametrize(
    ("latitude", "longitude", "town"),
    [
        (-0.22, -78.51, "Quito"),
        (51.48, -0.01, "Greenwich"),
        (-16.78, 179.35, "Savusavu"),
        (78.22, 15.65, "Longyearbyen"),
        (-45.0, -150.0, ""),
    ],
)
def test_around_the_equator_the_meridians_and_the_pole(
    latitude: float, longitude: float, town: str
) -> None:
    near = nearest(latitude, longitude)
    assert (near.name if near else "") == town


def test_a_nearest_town_does_not_depend_on_the_window() -> None:
    """Against looking at every town."""
    from advisor.places.distance import distance_km
    from advisor.places.regions import table

    spots = [line.split("\t")[2:4] for line in table("towns").splitlines() if line[:1] == "|"]
    for latitude, longitude in ((41.999, -81.001), (-0.5, 32.5), (64.1, -21.9), (-17.0, 179.99)):
        least = min(distance_km(latitude, longitude, float(n), float(e)) for n, e in spots)
        near = nearest(latitude, longitude)
        assert near is not None
        assert distance_km(latitude, longitude, near.latitude, near.longitude) == least


def test_folding() -> None:
    assert fold("  St. Léonard-de-Noblat ") == "saint leonard de noblat"
    assert fold("Ørsted’s Łódź") == "orsteds lodz"
    assert fold("Straße") == fold("STRASSE")


def test_postcodes_are_read_in_the_forms_people_write() -> None:
    assert [code.country for code in postcodes("44691-0000")] == ["US"]
    assert [code.country for code in postcodes("k1a 0b1")] == ["CA"]
    assert postcodes("D1A 0B1") == []
    assert postcodes("1234567") == []
