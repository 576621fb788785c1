"""Problems are told once each, all of them, in the order of the file."""

from __future__ import annotations

import pytest

from advisor.base.problems import BadInput, Place, Problem, Problems, did_you_mean


def test_place_leaves_out_what_means_nothing() -> None:
    assert str(Place("a.yaml")) == "a.yaml"
    assert str(Place("a.yaml", 3)) == "a.yaml:3"
    assert str(Place("a.yaml", 3, 7)) == "a.yaml:3:7"


def test_in_file_order_and_once() -> None:
    late, early = Problem(Place("f", 10, 2), "late"), Problem(Place("f", 9), "early")
    error = BadInput([late, early, late])
    assert error.problems == (early, late)
    assert str(error) == "f:9: early\nf:10:2: late"


def test_collecting() -> None:
    problems = Problems()
    problems.raise_if_any()
    assert not problems
    problems.add(Place("f", 1), "one")
    problems.take(BadInput.at(Place("f", 2), "two"))
    assert problems
    with pytest.raises(BadInput) as caught:
        problems.raise_if_any()
    assert [p.what for p in caught.value.problems] == ["one", "two"]


@pytest.mark.parametrize(
    ("word", "wanted"),
    [
        ("thach_depth", ", did you mean 'thatch_depth'?"),
        ("THATCH_DEPTH", ", did you mean 'thatch_depth'?"),
        ("soilph", ", did you mean 'Soil_pH'?"),
        ("painting", ""),
    ],
)
def test_did_you_mean(word: str, wanted: str) -> None:
    assert did_you_mean(word, ["thatch_depth", "Soil_pH"]) == wanted
