"""Fit and judge the windows on dates that extension services print. Run by hand:

    python docs/validation/windows.py [FOLDER_OF_RULES]

Reads tests/data/published_windows.csv (dates, our reading of their words and the halves were fixed
before any fit) and the weather under tests/data/weather. Writes sowing_windows.md beside this file.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
from published_pairs import (
    Found,
    Pair,
    Values,
    ask,
    computed,
    constant_errors,
    month_errors,
    read_pairs,
)
from window_signs import CLOSINGS, OPENINGS, Fitted, closing, fit

from advisor.base.record import replace
from advisor.rulebook.model import RuleBook
from advisor.rulebook.read_rulebook import read_rulebook

NEAR = 10.0
"""Days within which a computed date counts as agreeing."""
BOOTSTRAPS = 4000


def mean(errors: Values) -> str:
    return f"{np.abs(errors).mean():.1f}"


def fit_table(pairs: list[Pair], fitted: list[Fitted], which: str) -> list[str]:
    """One row a family, and the two baselines."""
    half = np.array([pair.role == "fit" for pair in pairs])
    constant, month = constant_errors(pairs, which), month_errors(pairs, which)
    lines = [
        "| signs | limits from the fit half | fit half | test half | place left out | bias | "
        "less than the constant date (95 %) |",
        "|---|---|---|---|---|---|---|",
    ]
    for one in fitted:
        limits = ", ".join(f"{sign} {how} {limit:g}" for sign, how, limit in one.limits)
        lines.append(
            f"| {one.name} | {limits} | {mean(one.errors[half])} | {mean(one.errors[~half])} | "
            f"{mean(one.left_out)} | {one.left_out.mean():+.1f} | "
            f"{gain(pairs, one.left_out, constant)} |"
        )
    for name, errors in (
        ("constant date: mean of the other places", constant),
        ("“September” for all", month),
    ):
        row = f"| {name} | – | {mean(errors[half])} | {mean(errors[~half])} | {mean(errors)} |"
        lines.append(f"{row} {errors.mean():+.1f} | |")
    return lines


def gain(pairs: list[Pair], errors: Values, baseline: Values) -> str:
    """Mean days nearer than the baseline, with a bootstrap interval over places."""
    places = sorted({pair.weather for pair in pairs})
    better = np.abs(baseline) - np.abs(errors)
    parts = [better[[p.weather == place for p in pairs]] for place in places]
    draws = np.random.default_rng(1).integers(0, len(places), (BOOTSTRAPS, len(places)))
    means = [np.concatenate([parts[i] for i in draw]).mean() for draw in draws]
    low, high = np.quantile(means, (0.025, 0.975))
    return f"{better.mean():+.1f} ({low:+.1f} to {high:+.1f})"


def day(found: Found, index: float) -> str:
    date = found.asked.facts.axis.date(round(index))
    return f"{date.day} {date:%b}"


def side(found: Found | None, pair: Pair, which: str) -> str:
    """Printed words; median, 10–90 % span; signed difference."""
    words = pair.printed[0 if which == "opens" else 1] or "–"
    if found is None:
        return f"{words} | opens in no year | "
    low, middle, high = found.opens if which == "opens" else found.closes
    span = f" ({day(found, low)}–{day(found, high)})" if found.of > 9 else ""
    error = f"{found.error(pair, which):+.0f}" if getattr(pair, which) else ""
    return f"{words} | {day(found, middle)}{span} | {error}"


def pair_table(book: RuleBook, pairs: list[Pair]) -> list[str]:
    """Printed and computed dates side by side."""
    lines = [
        "| place | weather | grass | opens, printed | computed | days | closes, printed | computed "
        "| days | source |",
        "|---|---|---|---|---|---|---|---|---|---|",
    ]
    for pair in pairs:
        found = computed(book, pair)
        place = f"{pair.place}{f' ({pair.role})' if pair.counted else ''}"
        weather = f"{pair.weather}, {pair.basis}, {pair.stands}"
        lines.append(
            f"| {place} | {weather} | {book.grasses[pair.grass].title} | "
            f"{side(found, pair, 'opens')} | {side(found, pair, 'closes')} | {pair.source} |"
        )
    return lines


def counted_errors(book: RuleBook, pairs: list[Pair], which: str) -> Values:
    """Errors of the shipped window at the counted pairs, days; NaN where it does not open."""
    found = [computed(book, pair) for pair in pairs]
    return np.array(
        [np.nan if f is None else f.error(p, which) for f, p in zip(found, pairs, strict=True)]
    )


def verdict_table(book: RuleBook, pairs: list[Pair]) -> list[str]:
    """How the shipped windows do at the counted pairs."""
    half = np.array([pair.role == "fit" for pair in pairs])
    lines = [
        "| | mean error, all | fit half | test half | bias | within 10 days | constant date | "
        "“September” | farther than 10 days |",
        "|---|---|---|---|---|---|---|---|---|",
    ]
    near = 0
    for which in ("opens", "closes"):
        errors = counted_errors(book, pairs, which)
        close = np.abs(errors) <= NEAR
        near += int(close.sum())
        far = [
            f"{p.place} {e:+.0f}" for p, e, ok in zip(pairs, errors, close, strict=True) if not ok
        ]
        lines.append(
            f"| {which} | {mean(errors)} | {mean(errors[half])} | {mean(errors[~half])} | "
            f"{errors.mean():+.1f} | {close.sum()} of {len(pairs)} | "
            f"{mean(constant_errors(pairs, which))} | {mean(month_errors(pairs, which))} | "
            f"{'; '.join(far)} |"
        )
    total = 2 * len(pairs)
    return [*lines, "", f"Together {near} of {total} dates ({100 * near / total:.0f} %) are near."]


def one_grass(book: RuleBook, pairs: list[Pair]) -> list[str]:
    """The count of near dates if every calendar is read with bluegrass."""
    plain = [replace(pair, grass="kentucky_bluegrass") for pair in pairs]
    errors = [counted_errors(book, plain, which) for which in ("opens", "closes")]
    near = sum(int((np.abs(e) <= NEAR).sum()) for e in errors)
    return [
        f"{near} of {2 * len(pairs)} (opens {mean(errors[0])}, closes {mean(errors[1])} days off)"
    ]


def hardening_table(pairs: list[Pair]) -> list[str]:
    """Last day with ten weeks before the soil is under 40 °F for a week."""
    lines = ["| place | closes, printed | ten weeks before cold soil | days |", "|---|---|---|---|"]
    for pair in pairs:
        asked = ask(pair.weather)
        last = closing(pair.weather, (("days to 40 F", "under", 70.0),))
        date = asked.facts.axis.date(round(last))
        never = last + 1 >= asked.season.midwinter
        assert pair.closes is not None
        error = "" if never else f"{last - asked.index(pair.closes):+.0f}"
        said = "does not bind" if never else f"{date.day} {date:%b}"
        lines.append(f"| {pair.place} | {pair.printed[1]} | {said} | {error} |")
    return lines


def main() -> None:
    """Fit, judge and write the page."""
    rules = Path(sys.argv[1]) if len(sys.argv) > 1 else None
    book = read_rulebook(rules, cache=False)
    rows = read_pairs()
    counted = [pair for pair in rows if pair.counted]
    page = Path(__file__).with_name("sowing_windows.md")
    words = Path(__file__).with_name("sowing_windows_text.md").read_text(encoding="utf-8")
    sown = ("autumn_sowing", "tall_fescue_sowing")
    parts = {
        "openings": fit_table(counted, fit(counted, OPENINGS, "opens"), "opens"),
        "closings": fit_table(counted, fit(counted, CLOSINGS, "closes"), "closes"),
        "verdict": verdict_table(book, counted),
        "one_grass": one_grass(book, counted),
        "counted": pair_table(book, counted),
        "hardening": hardening_table([p for p in rows if p.what == "tall_fescue_sowing"]),
        "shown": pair_table(book, [p for p in rows if not p.counted and p.what in sown]),
        "tearing": pair_table(book, [p for p in rows if p.what in ("thatch_removal", "coring")]),
        "spring": pair_table(book, [p for p in rows if p.in_spring]),
        "dormant": pair_table(book, [p for p in rows if p.what == "dormant_sowing"]),
    }
    for name, lines in parts.items():
        words = words.replace(f"{{{{{name}}}}}", "\n".join(lines))
    page.write_text(words, encoding="utf-8")


if __name__ == "__main__":
    main()
