"""A kept site file is what the file says now, and a fault in it is told each time."""

from __future__ import annotations

import datetime as dt
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from advisor.base.cache import keep_keyed
from advisor.base.problems import BadInput
from advisor.records import check_site as checks
from advisor.records import read_site as module
from advisor.records import (
    record,
    sections,
    site_keys,
    supply_keys,
    weather_column_keys,
    weather_source_keys,
)
from advisor.records.read_site import read_site
from advisor.records.record import Site

TODAY = dt.date(2026, 9, 5)
GRASSES = frozenset({"tall_fescue", "kentucky_bluegrass"})
FULL = """format: 1
name: Ours
place: {latitude: 41.4, longitude: -81.9, country: US, time_zone: America/New_York, elevation: 9 m}
stand: [{grass: tall fescue, share: 60 %}, {grass: kentucky bluegrass, share: 40 %}]
areas:
  - {name: front, size: 3000 ft2, sun: full, slope: flat, near_water: no}
  - {name: back, size: 200 m2, stand: [{grass: dont know}]}
units: us
climate: humid
weather_columns:
  date: day
  separator: tab
  missing: [-99, x]
  air_max: {column: high, unit: F}
  air_min: {column: low, unit: F}
weather_source:
  kind: daily_json
  attribution: somebody
  terms: any
  accept_terms: yes
  answers:
    days: daily.time
    forecast: https://example.org/?a={latitude}&o={longitude}
    air_max: {field: daily.high, unit: °C}
    air_min: {field: daily.low, unit: °C}
sowing: tall fescue
sown_on: 2014-09-06
soil: {texture: clay}
water:
  irrigated: yes
  can_water_seed: no
  restrictions_checked: 2026-05-01
  zones: [{name: one, areas: [front], precipitation_rate: 1 in/h, uniformity: 70 %}]
  price: 4.5
tools: [{kind: aerator, have: rented, price: 65, block: 4 h}, {kind: mower, have: owned}]
people:
  number: 2
  hours_per_day: 6 h
  free_days: [saturday, sunday]
  work_from: 08:30
  work_until: 20:00
  bridge_days: yes
  days_off: [2026-08-03 to 2026-08-14]
  blocked: [2026-09-07]
supplies:
  seed:
    - {grass: tall fescue, purity: 98 %, germination: 85 %, tested: 2026-01-01, price: 99}
    - parts: [{grass: tall fescue, purity: 50 %, germination: 85 %}]
  fertiliser: [{analysis: 25-0-5, slow: 30 %, bag: 40 lb, price: 42}]
  lime: {equivalent: 90 %}
  topdressing: {material: compost, bulk: 1 m3}
  quotes: [{operation: core aeration, price: 160}]
"""


@pytest.fixture
def checked(tmp_path, monkeypatch) -> list[object]:
    """Grows by one for each document that is checked."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "caches"))
    found: list[object] = []
    check = checks.check_site

    def counting(*given):
        found.append(given)
        return check(*given)

    monkeypatch.setattr(checks, "check_site", counting)
    return found


@pytest.fixture
def folder(tmp_path) -> Path:
    (tmp_path / "site").mkdir()
    (tmp_path / "site" / "site.yaml").write_text(FULL, encoding="utf-8")
    return tmp_path / "site"


def read(folder: Path, today: dt.date = TODAY, grasses: frozenset[str] = GRASSES) -> Site:
    return read_site(folder, grasses, today)


def kept_file(tmp_path: Path) -> Path:
    (found,) = (tmp_path / "caches" / "turf-windows").iterdir()
    return found


def kinds(value: object) -> object:
    """The types of all that is in a record, for `1 == 1.0 == True`."""
    if hasattr(value, "__struct_fields__"):
        return [type(value), *(kinds(getattr(value, f)) for f in value.__struct_fields__)]
    return [type(value), *map(kinds, value)] if isinstance(value, tuple) else type(value)


def test_a_full_site_comes_back_the_same(checked, folder):
    fresh, again = read(folder), read(folder)
    assert len(checked) == 1
    assert again == fresh
    assert kinds(again) == kinds(fresh)
    assert fresh.people.work_from == dt.time(8, 30)
    assert fresh.people.days_off == ((dt.date(2026, 8, 3), dt.date(2026, 8, 14)),)
    assert fresh.tools[0].have == "hired"


def test_the_records_have_the_keys_of_the_file():
    """A key that the file may have and the record lacks would be lost without a word."""
    pairs = (
        (record, site_keys),
        (sections, supply_keys),
        (sections, weather_column_keys),
        (sections, weather_source_keys),
    )
    found = 0
    for records, keys in pairs:
        for name, model in vars(keys).items():
            if name.endswith("Keys") and model.__module__ == keys.__name__:
                ours = getattr(records, name.removesuffix("Keys"))
                assert set(ours.__struct_fields__) == set(model.model_fields), name
                found += 1
    assert found == 21


def test_a_kept_site_needs_neither_the_parser_nor_the_checks(checked, folder):
    """They are half of what a warm command would wait for."""
    read(folder)
    program = (
        "import sys, datetime as dt; from pathlib import Path;"
        "from advisor.records.read_site import read_site;"
        f"read_site(Path({str(folder)!r}), {sorted(GRASSES)}, dt.date(2026, 9, 5));"
        "print({'yaml', 'pydantic'} & sys.modules.keys())"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, check=True)
    assert done.stdout.strip() == b"set()"


def test_a_changed_file_of_the_same_size_and_time_is_read_anew(checked, folder):
    read(folder)
    path = folder / "site.yaml"
    times = path.stat()
    path.write_text(FULL.replace("name: Ours", "name: Mine"), encoding="utf-8")
    os.utime(path, ns=(times.st_atime_ns, times.st_mtime_ns))
    assert read(folder).name == "Mine"


@pytest.mark.parametrize(
    ("good", "bad", "said"),
    [
        ("latitude: 41.4", "latitude: 410", "latitude"),
        ("number: 2", "number: two", "wanted a whole number"),
        ("sown_on: 2014-09-06", "sown_on: 2044-09-06", "future"),
        ("[{grass: dont know}]", "[{grass: moss}]", "not in the rule book"),
        ("units: us", "units: us\nunits: us", "twice"),
        ("format: 1", "", "'format' is missing"),
    ],
)
def test_a_fault_is_told_each_time(checked, folder, good, bad, said):
    read(folder)
    (folder / "site.yaml").write_text(FULL.replace(good, bad, 1), encoding="utf-8")
    for _ in range(3):
        with pytest.raises(BadInput, match=said):
            read(folder)
    (folder / "site.yaml").write_text(FULL, encoding="utf-8")
    assert read(folder).name == "Ours"


def test_a_rule_book_without_a_grass_refuses_it_even_if_it_was_kept(checked, folder):
    read(folder)
    with pytest.raises(BadInput, match="not in the rule book"):
        read(folder, grasses=GRASSES - {"tall_fescue"})


def test_a_day_that_has_not_been_is_refused_even_if_it_was_kept(checked, folder):
    """As on a machine whose clock was set back."""
    read(folder)
    with pytest.raises(BadInput, match="future"):
        read(folder, today=dt.date(2026, 4, 30))
    read(folder, today=TODAY + dt.timedelta(days=30))
    assert len(checked) == 2


def test_another_year_and_other_code_check_anew(checked, folder, monkeypatch):
    read(folder)
    read(folder, today=dt.date(2027, 1, 1))
    monkeypatch.setattr(module, "code_of", lambda *names: "other")
    read(folder, today=dt.date(2027, 1, 1))
    assert len(checked) == 3


@pytest.mark.parametrize("share", [0.0, 0.5, 0.99])
def test_a_cut_file_is_made_anew(checked, folder, tmp_path, share):
    fresh = read(folder)
    raw = kept_file(tmp_path).read_bytes()
    kept_file(tmp_path).write_bytes(raw[: int(len(raw) * share)])
    assert read(folder) == fresh
    assert len(checked) == 2
    assert kept_file(tmp_path).read_bytes() == raw


@pytest.mark.parametrize(
    ("part", "other"),
    [
        ("name", 3),
        ("place", {}),
        ("stand", None),
        ("areas", [{"name": "front"}]),
        ("climate", "lunar"),
        ("people", {"days_off": [["2026-01-01"]]}),
        ("sown_on", "yesterday"),
    ],
)
def test_what_has_another_shape_is_made_anew(checked, folder, tmp_path, part, other):
    """Even where it is whole and stands under the right key."""
    fresh = read(folder)
    path = kept_file(tmp_path)
    key, content = path.read_bytes()[64:].split(b"\n", 1)
    passed = json.loads(content)
    passed["site"] |= {part: other}
    keep_keyed(path.name, key.decode(), json.dumps(passed).encode())
    assert read(folder) == fresh
    assert len(checked) == 2


def test_a_clock_that_stands_still_reads_a_site_for_the_first_time(folder, tmp_path):
    """In a process of its own: here the models have long been made with the real clock."""
    code = (
        "from freezegun import freeze_time\n"
        "from pathlib import Path\n"
        "import datetime as dt, sys\n"
        "from advisor.records.read_site import read_site\n"
        "with freeze_time('2026-09-05 14:00'):\n"
        "    for _ in range(2):\n"
        "        print(read_site(Path(sys.argv[1]), None, dt.date(2026, 9, 5)).sown_on)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, str(folder)], capture_output=True, text=True, check=False,
        env={**os.environ, "XDG_CACHE_HOME": str(tmp_path / "own")},
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (0, "")
    sown = str(read(folder).sown_on)
    assert done.stdout.split() == [sown, sown]
