"""Every number of rules/work.yaml, against the lists and the words that it is said to rest on.

Efforts are those of the American Heart Association's table (Circulation 92(3):614, table 11), of
Virginia Cooperative Extension's list and of the Postgraduate Medical Journal's table 1, as
rules/sources.yaml quotes them; minutes by hand stand in the words of what they rest on; the
machines are from memory, and a machine is pinned to what was remembered.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest

from advisor.base.paths import data_folder
from advisor.base.problems import BadInput
from advisor.base.strict_yaml import load_file, load_text
from advisor.base.units import convert
from advisor.records.kept import SOWINGS
from advisor.rulebook.effort import Machine, Step
from advisor.rulebook.model import RuleBook
from advisor.rulebook.read_rulebook import read_rulebook
from advisor.rulebook.work_steps import work_of

BOOK = read_rulebook(cache=False)
WORK = BOOK.work
TEXT = (data_folder("rules") / "work.yaml").read_text(encoding="utf-8")
QUOTED = {
    id: str(entry["says"])
    for id, entry in load_file(data_folder("rules") / "sources.yaml").data["sources"].items()
}
STEPS = [(job, step) for job, steps in WORK.steps.items() for step in steps]
BY_HAND = [(job, step) for job, step in STEPS if step.by_hand_min is not None]
WITH_MACHINE = [(job, step) for job, step in STEPS if step.machine is not None]
PASSES = {1: "one pass", 2: "two crossing directions", 3: "two to four passes"}
NO_HOUR = {
    "watering": "goes on",
    "seedling_watering": "goes on for weeks, several times a day",
    "drought_dormancy": "is watering, once in some weeks",
    "disease_watch": "is looking",
    "species_choice": "is thinking",
    "new_lawn": "is a look; what follows from it are jobs of their own",
    "clippings": "is mowing with the bag on",
    "tool_care": "takes as long on any lawn",
    "winter_care": "takes as long on any lawn",
}
MACHINES = {
    # in, mph, %, times rest, h of hire, second pair of hands;
    # minutes to fetch, learn, load, clean and return it
    "core_aerator": ((19, 2.5, 70, 6.0, 4, True), (40, 15, 15, 15, 35)),
    "vertical_mower": ((20, 2, 65, 6.0, 4, True), (40, 15, 15, 15, 35)),
    "slit_seeder": ((20, 2, 65, 6.0, 4, True), (40, 22.5, 15, 22.5, 35)),
    "tiller": ((18, 0.7, 60, 6.0, 4, True), (40, 15, 15, 22.5, 35)),
    "roller": ((24, 2, 70, 5.0, 4, False), (40, 3.5, 7.5, 7.5, 35)),
    "mower": ((21, 2.5, 75, 4.5, None, False), (0, 0, 0, 0, 0)),
    "spreader": ((120, 3, 65, 2.5, None, False), (0, 0, 0, 0, 0)),
}


def named(pair: object) -> str:
    return f"{pair[0]}/{pair[1].id}" if isinstance(pair, tuple) else str(pair)


def said(*ids: str) -> str:
    return "; ".join(WORK.evidence[id].says for id in ids)


def efforts(step: Step) -> Iterator[str]:
    """The evidence of a step that names its effort: its own, or its machine's."""
    machine = WORK.machines.get(step.machine or "")
    for id in (*step.evidence, *(machine.evidence if machine else ())):
        if re.search(rf"\b{step.met:.1f}$", WORK.evidence[id].says):
            yield id


def test_every_job_has_steps_or_is_no_work_with_an_hour() -> None:
    assert set(WORK.steps) | set(NO_HOUR) == set(BOOK.operations)
    assert not set(WORK.steps) & set(NO_HOUR)


@pytest.mark.parametrize("pair", BY_HAND, ids=named)
def test_minutes_by_hand_stand_in_what_they_rest_on(pair: tuple[str, Step]) -> None:
    step = pair[1]
    assert step.by_hand_min is not None
    low, high = step.by_hand_min
    assert low < high
    behind = [id for id in step.evidence if f"{low:g} to {high:g} min" in WORK.evidence[id].says]
    assert behind, said(*step.evidence)
    common = {"raking", "covering", "sweeping", "watering", "barrow"}
    for id in behind:
        name, _, rest = id.rpartition("_")
        assert (WORK.evidence[id].kind, name in common) in (
            ("common_practice", True),
            ("from_memory", False),
        )
        assert rest == ("practice" if name in common else "memory")


@pytest.mark.parametrize("pair", STEPS, ids=named)
def test_an_effort_is_the_published_one_or_says_that_it_is_not(pair: tuple[str, Step]) -> None:
    (behind, *_) = efforts(pair[1])
    evidence = WORK.evidence[behind]
    if evidence.kind == "published":
        assert evidence.source is not None
        first = re.split(r"\W", evidence.says)[0]
        wanted = rf"\b{first}\b[^;0-9]* {pair[1].met:.1f}\b"
        assert re.search(wanted, QUOTED[evidence.source.id].lower())
    else:
        assert evidence.kind == "from_memory"
        assert "no list was found" in evidence.says


@pytest.mark.parametrize("pair", WITH_MACHINE, ids=named)
def test_passes_are_those_of_common_practice(pair: tuple[str, Step]) -> None:
    assert PASSES[pair[1].passes] in said(*pair[1].evidence)


@pytest.mark.parametrize("pair", STEPS, ids=named)
def test_figures_to_look_for_stand_in_what_they_rest_on(pair: tuple[str, Step]) -> None:
    """What is in brackets says the same in the other units."""
    step = pair[1]
    told = re.sub(r"\([^)]*\)", "", f"{step.check} {step.stop}")
    known = re.findall(r"[¼½¾⅛]|\d+", said(*step.evidence))
    assert set(re.findall(r"[¼½¾⅛]|\d+", told)) <= set(known), told


@pytest.mark.parametrize("machine", WORK.machines.values(), ids=lambda m: m.id)
def test_machines_are_as_remembered(machine: Machine) -> None:
    (width, speed, efficiency, met, hired, second), door = MACHINES[machine.id]
    assert convert(machine.width_m * 1000, "mm", "in") == pytest.approx(width)
    assert machine.speed_m_s / 0.44704 == pytest.approx(speed)
    assert machine.efficiency == pytest.approx(efficiency / 100)
    assert (machine.met, machine.hired_h, machine.second) == (met, hired, second)
    found = (
        machine.fetch_min, machine.learn_min, machine.load_min, machine.clean_min,
        machine.return_min,
    )  # fmt: skip
    assert found == pytest.approx(door)
    kinds = {WORK.evidence[id].kind for id in machine.door_evidence}
    assert kinds == ({"from_memory"} if machine.hired_h else set())


def test_engines_are_heard() -> None:
    """Who works with one is warned of hot engines."""
    heard = {machine.id for machine in WORK.machines.values() if machine.engine}
    assert heard == set(MACHINES) - {"roller", "spreader"}
    for job, step in STEPS:
        if step.machine in heard:
            assert "hot_engine" in BOOK.operations[job].safety, job


def test_a_machine_does_what_it_stands_in_and_what_is_declared() -> None:
    for machine in WORK.machines.values():
        stands = {job for job, step in STEPS if step.machine == machine.id}
        assert stands <= machine.does <= set(WORK.steps)
        assert bool(machine.does - stands) == bool(machine.does_evidence)
    slit = WORK.machines["slit_seeder"]
    assert slit.does == {"thatch_removal", "overseeding", "spring_seeding"}
    assert "core_aeration" not in slit.does
    assert {WORK.evidence[id].kind for id in slit.does_evidence} == {"published", "common_practice"}


def test_what_is_watered_until_it_is_up_is_what_the_rule_file_says() -> None:
    """Dormant seed is not: it wants no water until spring."""
    assert set(SOWINGS) == set(BOOK.operations["seedling_watering"].order.after)


def test_a_job_names_each_of_its_steps_once() -> None:
    for job, steps in WORK.steps.items():
        assert len({step.id for step in steps}) == len(steps), job
        assert len({step.title for step in steps}) == len(steps), job
        assert not steps[-1].can_wait, job


def test_seed_that_lies_open_is_not_left_for_another_day() -> None:
    """Raked and not sown is safe; sown and not covered, or not watered, is not."""
    for job in (*SOWINGS, "dormant_seeding"):
        steps = WORK.steps[job]
        (sown,) = (i for i, step in enumerate(steps) if step.id in ("spread", "sow"))
        assert not any(step.can_wait for step in steps[sown:]), job
        assert steps[sown].stop.startswith("Do not stop here"), job
        assert all(step.can_wait for step in steps[:sown]), job
        assert sown == 0 or "not sown is safe" in steps[sown - 1].stop, job


@pytest.mark.parametrize("pair", STEPS, ids=named)
def test_who_must_not_stop_is_not_told_to_wait(pair: tuple[str, Step]) -> None:
    job, step = pair
    assert step.stop.endswith(".")
    assert not step.check or step.check.endswith(".")
    if step.stop.startswith("Do not"):
        assert not step.can_wait
        assert step != WORK.steps[job][-1]


def test_seed_that_is_begun_is_finished_to_its_water_and_what_may_wait_owes_nothing() -> None:
    """Held to the words that a keeper reads if the work stops after a step."""
    for job in SOWINGS:
        steps = WORK.steps[job]
        (sown,) = (step for step in steps if step.id in ("spread", "sow"))
        assert sown.whole, job
        assert sown.owes[-1:] == ("water",), job
        for step in steps[steps.index(sown) + 1 : -1]:
            assert "water" in step.owes, (job, step.id)
    for job, step in STEPS:
        if step.stop.startswith("Do not stop here"):
            assert step.whole, (job, step.id)
            assert step.owes, (job, step.id)
        if step.can_wait:
            assert not step.owes, (job, step.id)
    assert WORK.steps["thatch_removal"][0].owes == ("clear",)
    for job in ("mowing", "low_mow", "core_aeration"):
        assert not any(step.whole or step.owes for step in WORK.steps[job])
    assert WORK.hired_said


def test_evidence_is_used_and_names_its_place() -> None:
    cited = {id for _, step in STEPS for id in step.evidence}
    for machine in WORK.machines.values():
        cited |= {*machine.evidence, *machine.door_evidence, *machine.does_evidence}
    cited |= set(WORK.hired_evidence)
    assert cited == set(WORK.evidence)
    for evidence in WORK.evidence.values():
        assert evidence.says
        if evidence.kind == "published":
            assert evidence.source is not None
            assert evidence.at
            assert evidence.checked is not None


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        (
            "does: {thatch_removal:",
            "does: {thatch_removel:",
            "'slit_seeder' does 'thatch_removel', which has no rule file, did you mean",
        ),
        (
            "does: {thatch_removal: [slit_thatch]",
            "does: {thatch_removal: [slit_thach]",
            "not declared",
        ),
        (
            "does: {thatch_removal: [slit_thatch]",
            "does: {thatch_removal: []",
            "at least 1 in the list",
        ),
        ("met: 5.0, hired: 4 h,", "met: 5.0,", "'roller' has 'hired' and 'door' both or neither"),
        ("learn: [2 min, 5 min]", "learn: [5 min, 2 min]", "from '5 min' to '2 min' is no range"),
        ("learn: [2 min, 5 min]", "learn: [2 min]", "at least 2 in the list"),
        ("learn: [2 min, 5 min]", "learn: [2 lb, 5 min]", "'2 lb' is a mass"),
        ("learn: [2 min, 5 min]", "lern: [2 min, 5 min]", "did you mean 'learn'"),
        ("by_hand: [56 min, 105 min]", "by_hand: [105 min, 56 min]", "write the smaller first"),
        ("can_wait: true", "can_wait: perhaps", "true or false"),
        ("owes: [clear]", "owes: [cleer]", "no later step of the job, did you mean 'clear'"),
        ("owes: [cover, water]", "owes: [spread]", "owes 'spread', which is no later step"),
        ("owes: [clear], said:", "said:", "says why under 'said' if it is 'whole' or 'owes'"),
        ("whole: true, said:", "said:", "says why under 'said' if it is 'whole' or 'owes'"),
        ("met: 4.0, whole: true, said:", "met: 4.0, said:", "which does not say 'whole: true'"),
        (
            "by_hand: [1 min, 4 min], met: 4.0, can_wait: true",
            "by_hand: [1 min, 4 min], met: 4.0, can_wait: true, owes: [water], said: so",
            "can wait for another day and yet owes",
        ),
        ("hired: {said: a", "hired: {sayd: a", "did you mean 'said'"),
    ],
)
def test_a_broken_work_file_is_refused_where_it_is_broken(
    old: str, new: str, says: str, book: RuleBook
) -> None:
    assert old in TEXT
    before = TEXT.partition(old)[0]
    broken = TEXT.replace(old, new, 1)
    with pytest.raises(BadInput) as refused:
        work_of(load_text(broken, "work.yaml"), book.sources, book.operations)
    problems = [str(problem) for problem in refused.value.problems]
    assert any(says in problem for problem in problems), problems
    lines = [int(problem.split(":")[1]) for problem in problems]
    # The machine's own line, or that of the words.
    assert all(0 <= before.count("\n") + 1 - line <= 2 for line in lines), problems
