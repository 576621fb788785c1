"""Parts of a rule file that are for some grasses only, on the small rule book of the bad inputs."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from advisor.decide.engine.plain import truth
from advisor.rulebook.model import RuleBook
from advisor.rulebook.read_rulebook import not_for, read_rulebook

GOOD = Path(__file__).parents[1] / "bad_input" / "rules" / "good"
SPRING = """\
  - id: spring
    for: {season_type: [warm]}
    title: spring
    prefer: 1
    after: {day: spring_equinox}
    until: {day: next_midsummer}
    evidence: [memory]
    opens: {fact: soil_temperature, over: grass.wakes_at}
"""


@pytest.fixture
def mixed(tmp_path: Path) -> RuleBook:
    """Heath grass made a warm-season grass, with a window and a limit of its own."""
    rules = Path(shutil.copytree(GOOD, tmp_path / "rules"))
    heath = rules / "grasses" / "heath_grass.yaml"
    text = heath.read_text().replace("season_type: cool", "season_type: warm")
    wakes = "limits:\n  wakes_at: {value: 65 F, unit: °C, evidence: [leaflet]}\n"
    heath.write_text(text.replace("limits:\n", wakes))
    raking = rules / "operations" / "moss_raking.yaml"
    text = raking.read_text().replace("[cool]", "[cool, warm]")
    text = text.replace("  - id: autumn\n", "  - id: autumn\n    for: {season_type: [cool]}\n")
    raking.write_text(text.replace("ready:\n", f"{SPRING}ready:\n", 1))
    return read_rulebook(rules)


def test_each_grass_gets_its_own_window(mixed: RuleBook) -> None:
    operation = mixed.operations["moss_raking"]
    assert operation.grasses == {"heath_grass", "meadow_grass"}
    windows = {
        id: [w.id for w in operation.for_grass(grass).windows]
        for id, grass in mixed.grasses.items()
    }
    assert windows == {"heath_grass": ["spring"], "meadow_grass": ["autumn"]}


def test_a_limit_is_asked_only_of_the_grasses_of_its_window(mixed: RuleBook) -> None:
    assert "wakes_at" not in mixed.grasses["meadow_grass"].limits
    heath = mixed.operations["moss_raking"].for_grass(mixed.grasses["heath_grass"])
    assert heath.windows[0].opens.limit == pytest.approx(18.33, abs=0.01)


def test_a_job_for_another_grass_is_not_needed(mixed: RuleBook) -> None:
    other = not_for(mixed.operations["moss_raking"], "sedge", ["heath grass", "meadow grass"])
    assert truth(other.need, {"season_type": "cool"}) is False
    assert "sedge" in other.need.otherwise
    assert "heath grass, meadow grass" in other.need.otherwise
