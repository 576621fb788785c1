"""Builds advisor/places/data/currencies.tsv from Unicode CLDR; run only to renew it.

    python docs/build_currencies.py

Reads the territories and their legal tender of today through Babel (BSD licence; the data are under
the Unicode licence v3).
"""

from __future__ import annotations

from pathlib import Path

from babel.core import get_global
from babel.numbers import get_territory_currencies

OUT = Path(__file__).resolve().parents[1] / "advisor" / "places" / "data" / "currencies.tsv"


def lines() -> list[str]:
    """`US<tab>USD`, one country a line; the first of several tenders is the one that is used."""
    found = []
    for country in sorted(get_global("territory_currencies")):
        tender = get_territory_currencies(country, tender=True)
        if len(country) == 2 and tender:
            found.append(f"{country}\t{tender[0]}")
    return found


if __name__ == "__main__":
    OUT.write_text("\n".join(lines()) + "\n", encoding="utf-8")
