"""What changed since the last kept digest."""

from __future__ import annotations

import datetime as dt
import shutil

import pytest

from advisor.base.problems import BadInput
from advisor.cases.open_folder import open_case
from advisor.demo.scenario import DEMO_DAY
from advisor.render.digest.edition import compose_edition, keep_edition


@pytest.fixture
def site(demo_site, tmp_path):
    return shutil.copytree(demo_site, tmp_path / "site")


@pytest.fixture
def edition(site, book):
    """A fresh one, as by a command."""
    return lambda on: compose_edition(open_case(site, book, on))


def test_nothing_is_said_without_a_kept_digest(site, edition):
    assert edition(DEMO_DAY).digest.changed == ()
    assert not (site / "digests").exists()


def test_a_changed_verdict_is_said_with_its_reason(site, edition):
    keep_edition(edition(DEMO_DAY), site)
    later = DEMO_DAY + dt.timedelta(days=3)
    with (site / "journal.csv").open("a", encoding="utf-8") as file:
        file.write(f"r90,{later},observation,turf_state,dormant,,\n")
    digest = edition(later).digest
    (held,) = [line for line in digest.changed if "to do before, now on hold" in line]
    assert "thatch removal" in held.lower()
    # The reason may stand below the line, where room is short.
    assert any(
        line.startswith(held.rstrip(".")) and "(the turf is dormant" in line
        for line in digest.changed_why or digest.changed
    )


def test_the_same_day_again_compares_with_the_day_before(site, edition):
    keep_edition(edition(DEMO_DAY), site)
    assert edition(DEMO_DAY).digest.changed == ()


def test_no_change_no_words(site, edition):
    keep_edition(edition(DEMO_DAY - dt.timedelta(days=1)), site)
    changed = edition(DEMO_DAY).digest.changed
    assert not [line for line in changed if "back" in line]


@pytest.mark.parametrize(
    "text",
    [
        '{"format": 2}',
        '{"format": 2, "items": [1]}',
        '{"format": 2, "items": [{"job": ["a"], "part": "", "season": null}]}',
        '{"format": 2, "items": [{"job": "a", "part": "", "season": {"possible": 3}}]}',
        '{"format": 1, "do": [{}]}',
        '{"format": 1, "do": [{"operation": "a", "area": "", "verdict": "do"}]}',
    ],
)
def test_a_kept_digest_that_lacks_something_is_named(site, edition, text):
    """Well-formed, of a known format, and yet no digest of ours: one clear line, no fault."""
    (site / "digests").mkdir()
    (site / "digests" / "2026-09-01.json").write_text(text, encoding="utf-8")
    with pytest.raises(BadInput, match=r"2026-09-01\.json: the kept digest has been damaged"):
        edition(DEMO_DAY)


def test_a_damaged_kept_digest_is_named(site, edition):
    (site / "digests").mkdir()
    (site / "digests" / "2026-09-01.json").write_text("{", encoding="utf-8")
    with pytest.raises(BadInput, match=r"2026-09-01\.json: the kept digest cannot be read"):
        edition(DEMO_DAY)
