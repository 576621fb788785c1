"""Write ledger and pairs anew: `python tests/consistency/write_ledger.py [--long] [--first]`.

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
sys.path.insert(0, str(Path(__file__).parents[1] / "support"))

import one_book
import pairs
import planted
from claims import counts
from lawns import FORTY, Lawn, write
from ledger import LEDGER, LONG, over, read
from readback import ReadBack
from views import titles, views


def _of(lawn: Lawn) -> dict[str, tuple[dict[str, int], set[str]]]:
    """Counts and, for the short ledger, pairs by lawn and day."""
    found = {}
    long = "--long" in sys.argv
    for day in lawn.days if long else (lawn.drawn,):
        # A calendar that is written again keeps what has not changed, with the day that said it.
        with tempfile.TemporaryDirectory() as folder:
            shown = views(write(lawn, Path(folder) / "site"), day, Path(folder))
        read_back = ReadBack(lawn.parts, day, titles(), shown.forms)
        occurring = set() if long else planted.pairs(read_back, shown.texts)
        found[f"{lawn.name} {day}"] = counts(read_back.all(shown.texts)), occurring
    return found


def main() -> None:
    one_book.share()
    path = LONG if "--long" in sys.argv else LEDGER
    old, of = read(path), dict[str, tuple[dict[str, int], set[str]]]()
    # What a process remembers of one lawn is of no use to the next.
    with Pool(maxtasksperchild=1) as pool:
        for each in pool.imap(_of, FORTY):
            of |= each
    new = {key: counted for key, (counted, _) in of.items()}
    if old and "--first" not in sys.argv:
        rose = {key: worse for key, at in new.items() if (worse := over(at, old.get(key, {})))}
        if rose:
            raise SystemExit(f"more contradictions than before, nothing written: {rose}")
    if path is LEDGER:
        pairs.write({key: occurring for key, (_, occurring) in of.items()})
    kept = {key: at for key, at in new.items() if at}
    path.write_text(json.dumps(kept, indent=1) + "\n", encoding="utf-8")
    total: Counter[str] = Counter()
    for at in new.values():
        total.update(at)
    print(len(new), "lawn-days,", sum(total.values()), "contradictions", dict(total))


if __name__ == "__main__":
    main()
