"""What a job takes, reckoned anew from the lawn's files and the numbers of the rule files.

Written from what docs/ says and what the steps of an answer print, in plain arithmetic, and without
a line of the program. Where each formula comes from:

- Seed: 'the rate ÷ 0.776' of an answer's steps. Penn State, *Calculating the price of pure live
  seed*: purity × germination is what lives. Of a mixture each grass fills as much ground as its
  live seed would alone, so the rate is 1 ÷ (live share ÷ rate, added up).
- Water of new seed: 'first soaking … then … a day … for 14 to 21 days', a millimetre on a square
  metre being a litre; numbers of rules/supplies.yaml.
- Nitrogen: docs/laws.md and docs/writing_rules.md: the least of the most at a time, what is left of
  this half of the feeding year, and what each law leaves; quick nitrogen has a cap of its own.
- Product: Nebraska Extension, *Lawn fertilizer calculations*: nitrogen ÷ the first number × 100.
- Minutes: docs/planning.md, 'Hours': area × passes ÷ (speed × width × field efficiency), ASABE
  EP496; by hand the middle of the range; each step in whole fives, rounded up. The keeper's own
  width, and a time noted with the work, stand above that. Other jobs: `effort` of their rule file.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import yaml
from plain_files import (
    FOOT,
    GALLON,
    POUND,
    details,
    journal_rows,
    laws_at,
    limit,
    quantity,
    rule_file,
)  # fmt: skip

THOUSAND_FT2 = 1000 * FOOT**2


@dataclass(frozen=True)
class Reckoning:
    """A lawn on a day, from the text of its two files."""

    site: dict[str, Any]
    rows: list[dict[str, str]]
    on: dt.date

    @classmethod
    def read(cls, site: str, journal: str, on: dt.date) -> Reckoning:
        return cls(yaml.safe_load(site), journal_rows(journal, on), on)

    def of(self, job: str, part: str) -> dict[str, tuple[float, float]]:
        """Least and most by field, in the keeper's units. part: empty for the whole lawn.

        Each field that a view may tell of this job; no other.
        """
        rules = rule_file(f"operations/{job}")
        us = self.site["units"] == "us"
        weight, volume = (POUND, GALLON) if us else (1000.0, 1.0)
        size = self._size(part)
        found = {}
        if "seed_rate" in rules:
            rates = self._seed_rates(rules["seed_rate"], part)
            found["seed"] = tuple(rate * size / weight for rate in rates)
            found["water"] = tuple(depth * size / volume for depth in _seed_water())
        if rules.get("spreads", {}).get("what") == "nitrogen":
            bag = self._bag()
            dose = min(self._caps(rules["spreads"], part, bag)) * size / weight
            found["nitrogen"] = dose, dose
            if bag is not None:
                product = dose / float(bag["analysis"].split("-")[0]) * 100
                found["product"] = product, product
        if time := self._minutes(job, rules, part):
            found["minutes"] = time
        return found

    def _areas(self, part: str) -> list[dict[str, Any]]:
        return [each for each in self.site["areas"] if part in ("", each["name"])]

    def _size(self, part: str) -> float:
        return sum(quantity(each["size"]) for each in self._areas(part))

    def _grass(self, part: str) -> str:
        stand = self._areas(part)[0].get("stand") or self.site["stand"]
        return max(stand, key=lambda each: quantity(each.get("share", "100 %")))["grass"]

    def _seed_rates(self, purpose: str, part: str) -> tuple[float, float]:
        """g/m² of what is in the bag; of seed that sprouts where no label is known."""
        grass = self.site.get("sowing") or self._grass(part)
        bags = [bag.get("parts") or [bag] for bag in self.site.get("supplies", {}).get("seed", ())]
        held = [
            (sum(quantity(p["purity"]) for p in parts if p["grass"] == grass), parts)
            for parts in bags
            if grass in [p["grass"] for p in parts]
        ]
        label = max(held, key=lambda each: each[0])[1] if held else []
        ends = []
        for end in ("low", "high"):
            shares = [
                quantity(p["purity"]) * quantity(p["germination"]) / rate
                for p in label
                if (rate := limit(p["grass"], f"seed_rate_{purpose}_{end}"))
            ]
            own = limit(grass, f"seed_rate_{purpose}_{end}")
            assert own, "only grasses with rates are sown"
            ends.append(1 / sum(shares) if shares else own)
        return ends[0], ends[1]

    def _bag(self) -> dict[str, Any] | None:
        """The first bag with nitrogen, and without phosphorus unless a soil test asks for it."""
        tests = [row["value"] for row in self.rows if row["what"] == "soil_phosphorus"]
        for bag in self.site.get("supplies", {}).get("fertiliser", ()):
            n, p, _ = (float(each) for each in bag["analysis"].split("-"))
            if n > 0 and (p == 0 or tests[-1:] == ["low"]):
                return bag
        return None

    def _caps(
        self, spreads: dict[str, Any], part: str, bag: dict[str, Any] | None
    ) -> Iterator[float]:
        """All that holds a dose of nitrogen down, g/m²."""
        grass = self._grass(part)
        half, since = self._feeding_year(grass)
        fed = self._fed(since, part)
        yield quantity(spreads["most"])
        budget = limit(grass, f"nitrogen_{half}")
        if budget is not None and fed is not None:
            yield budget - fed
        quick = 1 - quantity(bag.get("slow", "0 %")) if bag else 1.0
        for rule in laws_at(self.site["place"]):
            if rule["subject"] != "nitrogen_cap" or grass not in rule.get("grasses", [grass]):
                continue
            most = quantity(rule["most"])
            if rule.get("soluble"):
                yield most / quick if quick else math.inf
            elif rule["per"] == "dose":
                yield most
            elif fed is not None:
                yield most - fed

    def _feeding_year(self, grass: str) -> tuple[str, dt.date]:
        """Which solstice this half runs to, and when the year began: a grass of the warm season is
        fed from midwinter, one of the cool season from midsummer."""
        days = [dt.date(y, m, 21) for y in (self.on.year - 1, self.on.year) for m in (6, 12)]
        past = [day for day in days if day <= self.on][-2:]
        summer = 6 if self.site["place"]["latitude"] >= 0 else 12
        half = "midwinter" if past[-1].month == summer else "midsummer"
        warm = rule_file(f"grasses/{grass}")["traits"]["season_type"] == "warm"
        begins = summer if not warm else 18 - summer
        return half, next(day for day in past if day.month == begins)

    def _fed(self, since: dt.date, part: str) -> float | None:
        """g/m² that the records tell of; None where they do not tell."""
        here = [row for row in self.rows if row["area"] in ("", part) or not part]
        total, known = 0.0, any(row["what"] == "feeding" and row["kind"] == "work" for row in here)
        for row in (row for row in here if row["date"] >= since.isoformat()):
            if row["what"] == "nitrogen_fed":
                total, known = quantity(row["value"]), True
            elif row["what"] == "feeding" and row["kind"] == "work":
                if "n" not in details(row):
                    return None
                total += quantity(details(row)["n"])
        return total if known else None

    def _minutes(self, job: str, rules: dict[str, Any], part: str) -> tuple[float, float] | None:
        size, took = self._size(part), self._took(job, part)
        steps = rule_file("work")["steps"].get(job)
        if steps:
            ours = sum(5 * math.ceil(self._step(each, size) / 5 - 1e-9) for each in steps)
            total = ours if took is None else 5 * round(took / 5)
            return total, total
        if took is not None:
            return took, took
        if "effort" not in rules:
            return None
        low, high = rules["effort"]["minutes_per_1000_ft2"]
        return low * size / THOUSAND_FT2, high * size / THOUSAND_FT2

    def _step(self, step: dict[str, Any], size: float) -> float:
        if "by_hand" in step:
            return sum(map(quantity, step["by_hand"])) / 2 * size / THOUSAND_FT2
        machine = rule_file("work")["machines"][step["machine"]]
        own = [tool["width"] for tool in self.site.get("tools", ())
               if tool["kind"] == step["machine"] and "width" in tool]  # fmt: skip
        metres = quantity((own or [machine["width"]])[0]) / 1000
        output = quantity(machine["speed"]) * metres * quantity(machine["efficiency"])
        return size * step["passes"] / output

    def _took(self, job: str, part: str) -> float | None:
        """The newest time noted for this ground, or for the whole lawn, by area."""
        alone = {each["name"] for each in self._areas(part)}
        for row in reversed(self.rows):
            here = not row["area"] or alone == {row["area"]}
            if row["kind"] == "work" and row["what"] == job and "took" in details(row) and here:
                noted = quantity(details(row)["took"])
                return noted * self._size(part) / self._size(row["area"])
        return None


def _seed_water() -> tuple[float, float]:
    """mm until seed is up: a soaking, and what a wet surface loses on so many days."""
    given = rule_file("supplies")["values"].items()
    numbers = {key: quantity(at["value"]) for key, at in given if at["unit"] in ("mm", "d")}
    low, high = (
        numbers["soak"] + numbers[f"surface_{end}"] * numbers[f"wet_days_{end}"]
        for end in ("low", "high")
    )
    return low, high
