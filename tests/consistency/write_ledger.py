"""Write the ledger anew: `python tests/consistency/write_ledger.py [--long] [--first]`.

Refuses a count that rose, unless it is the first of its kind of view (`--first`: a reader that
sees more than before).
"""

from __future__ import annotations

import json
import sys
import tempfile
from collections import Counter
from multiprocessing import Pool
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from claims import contradictions, counts
from lawns import FORTY, Lawn, write
from ledger import LEDGER, LONG, over, read
from views import claims


def _of(lawn: Lawn) -> dict[str, dict[str, int]]:
    found = {}
    with tempfile.TemporaryDirectory() as folder:
        site = write(lawn, Path(folder) / "site")
        for day in lawn.days if "--long" in sys.argv else (lawn.drawn,):
            read_back = claims(site, day, lawn.parts, Path(folder))
            found[f"{lawn.name} {day}"] = counts(contradictions(read_back, lawn.parts))
    return found


def main() -> None:
    path = LONG if "--long" in sys.argv else LEDGER
    old, new = read(path), dict[str, dict[str, int]]()
    with Pool() as pool:
        for each in pool.imap(_of, FORTY):
            new |= each
    if old and "--first" not in sys.argv:
        rose = {key: worse for key, at in new.items() if (worse := over(at, old.get(key, {})))}
        if rose:
            raise SystemExit(f"more contradictions than before, nothing written: {rose}")
    kept = {key: at for key, at in new.items() if at}
    path.write_text(json.dumps(kept, indent=1) + "\n", encoding="utf-8")
    total: Counter[str] = Counter()
    for at in new.values():
        total.update(at)
    print(len(new), "lawn-days,", sum(total.values()), "contradictions", dict(total))


if __name__ == "__main__":
    main()
