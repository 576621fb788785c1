"""The identification key against what extension services print of each grass."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.answers.identify import DONT_KNOW, find, key_of, read_answers, read_state
from advisor.answers.identify_text import finding_json, finding_lines
from advisor.base.problems import BadInput
from advisor.base.strict_yaml import load_text
from advisor.rulebook.read_key import read_key
from advisor.rulebook.read_rulebook import read_rulebook

BOOK = read_rulebook()
KEY = key_of(BOOK)

# North Carolina State University, turfgrass identification (turfid.ncsu.edu), the table on each
# species' page, as printed: growth season, vernation, ligule and its height in mm, auricles, tip,
# width in mm, stolons, rhizomes. Centipedegrass: University of Georgia, turfgrass species, and
# Virginia Tech, weed identification. Where a page leaves the width open it is left out here.
PRINTED = {
    "kentucky_bluegrass": ("cool", "folded", "membrane", (0.2, 1), None, "boat", (2, 4), 0, 1),
    "tall_fescue": ("cool", "rolled", "membrane", (0, 0.5), "small", "pointed", None, 0, 0),
    "perennial_ryegrass": (
        "cool", "folded", "membrane", (0.5, 1.5), "small", "pointed", (2, 5), 0, 0,
    ),
    "fine_fescues": ("cool", "folded", "membrane", (0.3, 0.3), None, "pointed", None, 0, 0),
    "creeping_bentgrass": ("cool", "rolled", "membrane", (1, 2), None, "pointed", (2, 5), 1, 0),
    "bermudagrass": ("warm", "folded", "hairs", None, None, "pointed", (1.5, 3), 1, 1),
    "zoysiagrass": ("warm", "rolled", "hairs", None, None, "pointed", (2, 4), 1, 1),
    "st_augustinegrass": ("warm", "folded", "hairs", None, None, "boat", (4, 10), 1, 0),
    "centipedegrass": ("warm", "folded", "membrane", (0.5, 0.5), None, "pointed", (2, 5), 1, 0),
    "buffalograss": ("warm", "rolled", "hairs", None, None, "pointed", (1, 3), 1, 0),
    "bahiagrass": ("warm", "rolled", "membrane", (1, 1), None, "pointed", (4, 8), 0, 1),
}  # fmt: skip
# What the same pages print beside the table.
BESIDE = {
    "kentucky_bluegrass": {"face": "two_lines", "seedhead": "branched"},
    "tall_fescue": {"face": "ridges", "seedhead": "branched"},
    "perennial_ryegrass": {"face": "ridges", "seedhead": "spike"},
    "fine_fescues": {"width": "bristle", "seedhead": "branched"},
    "creeping_bentgrass": {"face": "ridges", "seedhead": "branched"},
    "bermudagrass": {"feel": "soft", "blade_hairs": "no_hairs", "seedhead": "fingers"},
    "zoysiagrass": {"feel": "stiff", "blade_hairs": "yes_hairs", "seedhead": "spike"},
    "st_augustinegrass": {"collar": "pinched_bare", "joints": "opposite", "seedhead": "spike"},
    "centipedegrass": {"collar": "pinched_hairy", "joints": "alternate", "seedhead": "spike"},
    "buffalograss": {"blade_hairs": "yes_hairs", "seedhead": "spike"},
    "bahiagrass": {"collar": "not_pinched", "seedhead": "two_fingers"},
}


def published(grass: str) -> dict[str, str]:
    """The printed characters as answers; millimetres as the key's classes, by their middle."""
    season, bud, ligule, height, ears, tip, width, stolons, rhizomes = PRINTED[grass]
    answers = {"season": season, "bud": bud, "tip": tip, "auricles": ears or "none_seen"}
    answers["ligule"] = "hairs"
    if ligule == "membrane":
        answers["ligule"] = "tall_skin" if sum(height) / 2 >= 1 else "short_skin"
    if width:
        middle = sum(width) / 2
        answers["width"] = "narrow" if middle < 3 else "medium" if middle <= 5 else "broad"
    answers["runners"] = ("none", "below", "above", "both")[2 * stolons + rhizomes]
    return answers | BESIDE[grass]


def ask_through(seen: dict[str, str]):
    """Answer what the key asks, in its order, with what is seen; the rest is not known."""
    answers: dict[str, str] = {}
    finding = find(KEY, answers)
    while finding.next is not None:
        answers[finding.next.id] = seen.get(finding.next.id, DONT_KNOW)
        finding = find(KEY, answers)
    return answers, finding


def test_the_key_describes_every_grass_of_the_rule_book() -> None:
    assert set(KEY.grasses) == set(BOOK.grasses) == set(PRINTED)


@pytest.mark.parametrize("grass", PRINTED)
def test_each_grass_is_reached_by_its_published_characters(grass: str) -> None:
    answers, finding = ask_through(published(grass))
    assert finding.grass == grass, answers
    assert len(answers) <= 6, "a keeper should not have to look at everything"
    assert find(KEY, published(grass)).grass == grass


@pytest.mark.parametrize("grass", PRINTED)
def test_one_character_that_cannot_be_seen_does_no_harm(grass: str) -> None:
    seen = published(grass)
    for missing in seen:
        _, finding = ask_through({c: s for c, s in seen.items() if c != missing})
        assert grass in finding.remaining
        assert finding.grass == grass or len(finding.remaining) == 2, (missing, finding.remaining)


def test_it_says_which_two_remain_and_what_to_look_at() -> None:
    # The pages on bermudagrass and zoysiagrass: often confused; upright hairs and stiffness decide.
    seen = {"season": "warm", "ligule": "hairs", "runners": "both", "bud": "rolled"}
    _, finding = ask_through(seen)
    assert set(finding.remaining) == {"bermudagrass", "zoysiagrass"}
    assert {c.id for c in finding.look_at} >= {"feel", "blade_hairs", "seedhead"}
    text = "\n".join(line for _, line in finding_lines(finding, BOOK, KEY))
    assert "It may be bermudagrass or zoysiagrass." in text
    assert "To tell them apart, look at:" in text


def test_every_two_grasses_are_told_apart_by_something() -> None:
    for one, other in combinations(KEY.grasses, 2):
        assert [c for c in KEY.characters if KEY.parts(c, one, other)], (one, other)


def test_every_character_of_a_grass_has_published_evidence() -> None:
    for grass, traits in KEY.grasses.items():
        for character, trait in traits.items():
            assert trait.evidence[0].kind == "published", (grass, character)
            assert trait.evidence[0].source is not None


@given(st.data())
def test_true_answers_never_lose_the_grass(data) -> None:
    grass = data.draw(st.sampled_from(sorted(KEY.grasses)))
    seen = {
        character: data.draw(st.sampled_from([*trait.states, DONT_KNOW]))
        for character, trait in KEY.grasses[grass].items()
    }
    answers, finding = ask_through(seen)
    assert grass in finding.remaining
    if finding.grass is None:
        assert finding.look_at
        assert all(answers.get(c.id, DONT_KNOW) == DONT_KNOW for c in finding.look_at)


def test_answers_that_no_grass_fits_name_the_nearest_and_what_is_wrong() -> None:
    finding = find(KEY, published("kentucky_bluegrass") | {"ligule": "hairs"})
    assert finding.remaining == ()
    assert finding.next is None
    assert [(g, [c.id for c in wrong]) for g, wrong in finding.against] == [
        ("kentucky_bluegrass", ["ligule"])
    ]


def test_answers_are_read_as_written() -> None:
    assert read_answers(KEY, "bud=folded, tip = Boat ,ligule=?") == {
        "bud": "folded", "tip": "boat", "ligule": DONT_KNOW
    }  # fmt: skip
    assert read_answers(KEY, "") == {}
    assert read_state(KEY.characters["bud"], "2") == "rolled"
    assert read_state(KEY.characters["bud"], "don't know") == DONT_KNOW
    for wrong, said in [
        ("bud", "no character=state"), ("bdu=folded", "did you mean 'bud'"),
        ("bud=foldet", "did you mean 'folded'"), ("bud=3", "no '3'"),
    ]:  # fmt: skip
        with pytest.raises(BadInput, match=said):
            read_answers(KEY, wrong)


def test_json_names_the_grass_its_characters_and_their_sources() -> None:
    answers = {"season": "warm", "joints": "opposite", "tip": DONT_KNOW}
    data = finding_json(answers, find(KEY, answers), BOOK, KEY)
    assert set(data) == {
        "format", "rulebook", "answers", "grass", "remaining", "next", "look_at", "against", "shows"
    }  # fmt: skip
    assert data["answers"]["tip"] is None
    assert "centipedegrass" not in data["remaining"]
    assert data["shows"]["st_augustinegrass"]["collar"]["evidence"][0]["kind"] == "published"
    assert set(data["next"]) == {"character", "question", "how", "states"}


SMALL = """
format: 1
characters:
  bud: {title: bud, question: "Bud?", how: "Look.", states: {folded: folded, rolled: rolled}}
grasses:
  kentucky_bluegrass: {bud: {is: [STATE], evidence: [EVIDENCE]}}
  OTHER: {CHARACTER: {is: [rolled], evidence: [page]}}
evidence: [{id: page, kind: published, source: uky_agr_251, at: page 1}]
"""


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({}, None),
        ({"STATE": "foldet"}, "'bud' has no state 'foldet', did you mean 'folded'"),
        ({"EVIDENCE": "pgae"}, "evidence 'pgae' is not declared below, did you mean 'page'"),
        ({"OTHER": "tall_fescu"}, "grass 'tall_fescu' has no file, did you mean 'tall_fescue'"),
        ({"CHARACTER": "budd"}, "no character 'budd', did you mean 'bud'"),
        ({"STATE": "rolled"}, "no character tells 'kentucky_bluegrass' and 'tall_fescue' apart"),
    ],
)
def test_a_broken_key_is_refused_with_its_line(changed, said) -> None:
    text = SMALL
    words = {"STATE": "folded", "EVIDENCE": "page", "OTHER": "tall_fescue", "CHARACTER": "bud"}
    for word, value in {**words, **changed}.items():
        text = text.replace(word, value)
    two = {id: BOOK.grasses[id] for id in ("kentucky_bluegrass", "tall_fescue")}
    document = load_text(text, "rules/identify.yaml")
    if said is None:
        assert set(read_key(document, BOOK.sources, two).grasses) == set(two)
        return
    with pytest.raises(BadInput) as error:
        read_key(document, BOOK.sources, two)
    assert any(said in p.what for p in error.value.problems), error.value.problems
    assert all(p.place.line > 1 for p in error.value.problems)
