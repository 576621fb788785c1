"""The money of a country (Unicode CLDR, docs/build_currencies.py)."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path

_TABLE = Path(__file__).parent / "data" / "currencies.tsv"


@lru_cache(maxsize=1)
def currencies() -> Mapping[str, str]:
    """ISO 3166-1 alpha-2 country → ISO 4217 currency, as legal tender there."""
    rows = (line.split("\t") for line in _TABLE.read_text(encoding="utf-8").splitlines())
    return dict(rows)
