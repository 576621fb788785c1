"""Countries, their parts and their money, from the packaged tables."""

from __future__ import annotations

import gzip
from collections.abc import Mapping
from functools import cache, lru_cache
from importlib.resources import files
from pathlib import Path

from advisor.base.problems import did_you_mean
from advisor.places.fold import fold


@cache
def table(name: str) -> str:
    """The lines of `towns`, `regions` or `postcodes`, each between two line breaks."""
    packed = files("advisor.places").joinpath("data", f"{name}.tsv.gz").read_bytes()
    return f"\n{gzip.decompress(packed).decode()}"


_TABLE = Path(__file__).parent / "data" / "currencies.tsv"


@lru_cache(maxsize=1)
def currencies() -> Mapping[str, str]:
    """ISO 3166-1 alpha-2 country → ISO 4217 currency, as legal tender there."""
    rows = (line.split("\t") for line in _TABLE.read_text(encoding="utf-8").splitlines())
    return dict(rows)


Region = tuple[str, str]
"""A country's code and a subdivision's; the latter is empty where the whole country is meant."""

# Here people write the codes of states and provinces after a town; elsewhere they would be noise.
_CODES_WRITTEN = {"US", "CA", "AU", "NZ", "GB"}
_ALSO = {
    "uk": "GB", "great britain": "GB", "britain": "GB", "usa": "US", "us of a": "US",
    "united states of america": "US", "america": "US", "holland": "NL", "the netherlands": "NL",
    "czech republic": "CZ", "eire": "IE", "republic of ireland": "IE",
}  # fmt: skip


def regions_named(text: str) -> frozenset[Region]:
    """All countries and subdivisions that a name or code can mean; none if it means nothing."""
    return _regions().get(fold(text), frozenset())


def region_hint(text: str) -> str:
    """`, did you mean 'Illinois'?`, or nothing."""
    return did_you_mean(fold(text), (key.title() for key in _regions()))


def region_name(region: Region) -> str:
    """The English name of a country or subdivision; its code if it is not known."""
    lines, head = table("regions"), "\t".join(region)
    at = lines.find(f"\n{head}\t")
    if at < 0:
        return region[1] or region[0]
    return lines[at + 1 : lines.find("\n", at + 1)].split("\t")[2].partition("|")[0]


def country_name(code: str) -> str:
    """The country's English name; the code itself if it is not known."""
    return region_name((code, ""))


@cache
def _regions() -> dict[str, frozenset[Region]]:
    found: dict[str, set[Region]] = {}
    for line in table("regions").split("\n")[1:-1]:
        country, part, names = line.split("\t")
        keys = {fold(name) for name in names.split("|")}
        if not part or country in _CODES_WRITTEN:
            keys.add(fold(part or country))
        for key in keys:
            found.setdefault(key, set()).add((country, part))
    for key, country in _ALSO.items():
        found.setdefault(key, set()).add((country, ""))
    found.pop("", None)
    return {key: frozenset(regions) for key, regions in found.items()}


def lies_in(region: Region, wanted: frozenset[Region]) -> bool:
    """Whether a country and subdivision lie in one of the wanted regions."""
    return any(region[0] == country and part in ("", region[1]) for country, part in wanted)
