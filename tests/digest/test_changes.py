"""What changed since the last kept digest."""

from __future__ import annotations

import datetime as dt
import shutil

import pytest

from advisor.base.problems import BadInput
from advisor.cases.lawn import open_lawn
from advisor.demo.scenario import DEMO_DAY
from advisor.digest.edition import compose_edition, keep_edition


@pytest.fixture
def lawn(demo_site, tmp_path, book):
    folder = tmp_path / "site"
    shutil.copytree(demo_site, folder)
    return open_lawn(folder, book)


def test_nothing_is_said_without_a_kept_digest(lawn):
    assert compose_edition(lawn, DEMO_DAY).digest.changed == ()
    assert not (lawn.folder / "digests").exists()


def test_a_changed_verdict_is_said_with_its_reason(lawn, book):
    keep_edition(compose_edition(lawn, DEMO_DAY))
    later = DEMO_DAY + dt.timedelta(days=3)
    with (lawn.folder / "journal.csv").open("a", encoding="utf-8") as file:
        file.write(f"r90,{later},observation,turf_state,dormant,,\n")
    changed = compose_edition(open_lawn(lawn.folder, book), later).digest.changed
    (held,) = [line for line in changed if "to do before, now on hold" in line]
    assert "thatch removal" in held.lower()
    assert "(the turf is dormant" in held


def test_the_same_day_again_compares_with_the_day_before(lawn):
    keep_edition(compose_edition(lawn, DEMO_DAY))
    assert compose_edition(lawn, DEMO_DAY).digest.changed == ()


def test_no_change_no_words(lawn):
    keep_edition(compose_edition(lawn, DEMO_DAY - dt.timedelta(days=1)))
    changed = compose_edition(lawn, DEMO_DAY).digest.changed
    assert not [line for line in changed if "back" in line]


def test_a_damaged_kept_digest_is_named(lawn):
    (lawn.folder / "digests").mkdir()
    (lawn.folder / "digests" / "2026-09-01.json").write_text("{", encoding="utf-8")
    with pytest.raises(BadInput, match=r"2026-09-01\.json: the kept digest cannot be read"):
        compose_edition(lawn, DEMO_DAY)
