"""The main job against published advice: should I dethatch this year?

Sources of what is expected: thatch bands from Kansas State (Upham and Hoyle), Nebraska (September
turf care) and Purdue (plant diagnostic laboratory 2016); seasons from Purdue AY-3 (northern half of
Indiana and Illinois 15 Aug-15 Sep; the nearest published window to northern Ohio), Virginia
Cooperative Extension 426-718 (eastern Virginia 1 Sep-15 Oct) and Virginia Tech (Hampton Roads
mid-September on), Minnesota (15 Aug-15 Sep; tall fescue before Labor Day), Royal Horticultural
Society (September), New Zealand national advice (March to May). rules/sources.yaml has them all.
"""

from __future__ import annotations

import datetime as dt

import pytest

from advisor.answers.consult import consult
from advisor.base import record as records
from advisor.base.record import replace

QUESTION = "should I dethatch this year"
SEPTEMBER = dt.date(2026, 9, 5)
GREEN = (("2026-09-04", "observation", "turf_state", "growing"),
         ("2026-09-04", "observation", "soil_feel", "moist"))  # fmt: skip
FEEL = ("2026-09-04", "observation", "soil_feel", "moist")


def thatch(depth, day="2026-08-20"):
    return (day, "observation", "thatch_depth", depth)


def ask(lawn, on=SEPTEMBER, question=QUESTION):
    return consult(replace(lawn, on=on), question).answers[0]


@pytest.fixture
def ohio(make_lawn):
    def make(*records, grass="kentucky_bluegrass"):
        return make_lawn("northern_ohio", grass, records)

    return make


def said(answer):
    return " ".join((answer.headline, *(r.says for r in answer.told), *answer.advice))


def test_thick_thatch_in_season_is_a_do(ohio):
    answer = ask(ohio(thatch("0.8 in"), *GREEN))
    assert answer.decision.verdict == "do"
    assert "take away all the debris" in said(answer) or "debris" in said(answer)
    order = answer.decision.operation.order.before
    assert {"core_aeration", "overseeding"} <= set(order)
    assert dt.date(2026, 9, 5) <= answer.decision.by <= dt.date(2026, 9, 30)
    assert {"rotating_blades", "shallow_lines"} <= {id for id, _ in answer.safety}


def test_a_reading_near_the_limit_is_no_clear_yes(ohio):
    near = ask(ohio(thatch("0.8 in"), *GREEN))
    assert near.decision.grade == "possible"
    assert "close call" in near.headline


def test_a_reading_well_past_the_limit_is_a_clear_yes(ohio):
    clear = ask(ohio(thatch("0.9 in"), *GREEN))
    assert clear.decision.close == ()
    assert "close call" not in clear.headline


def test_thin_thatch_is_not_needed_whatever_the_season(ohio):
    answer = ask(ohio(thatch("0.3 in"), *GREEN))
    assert answer.decision.verdict == "not_needed"
    assert "0.3 in" in answer.headline


def test_between_half_and_three_quarters_coring_is_usually_enough(ohio):
    answer = ask(ohio(thatch("0.6 in"), *GREEN))
    assert answer.decision.verdict == "not_needed"
    assert "core aeration is usually enough" in said(answer)


def test_above_an_inch_never_one_hard_pass(ohio):
    answer = ask(ohio(thatch("1.4 in"), *GREEN))
    assert answer.decision.verdict == "do"
    assert "never in one hard pass" in said(answer).lower()


def test_no_measurement_asks_for_the_plug_and_says_what_each_result_means(ohio):
    answer = ask(ohio(*GREEN))
    assert answer.decision.verdict == "measure"
    (wanted,) = [m for m in answer.measure if m.fact == "thatch_depth"]
    assert "wedge" in wanted.how
    results = " / ".join(wanted.results)
    assert "over 0.75 in: do it, until" in results
    assert "up to 0.75 in: skip it" in results


@pytest.mark.parametrize("state", ["stressed", "dormant"])
def test_a_drought_holds_it_and_says_when_it_clears(ohio, state):
    dry = (("2026-09-04", "observation", "turf_state", state),
           ("2026-09-04", "observation", "soil_feel", "dry"))  # fmt: skip
    answer = ask(ohio(thatch("0.8 in"), *dry))
    assert answer.decision.verdict == "hold"
    assert "turf_state" in answer.decision.clears.watch
    assert "look again in a few days" in answer.headline


def test_a_dry_record_holds_it_without_any_note_on_the_soil(make_lawn):
    """Champion NE, 2012: a drought year; the lawn is not watered."""
    lawn = make_lawn(
        "nebraska", "kentucky_bluegrass",
        (thatch("0.8 in", "2012-08-20"), ("2012-09-01", "observation", "turf_state", "growing")),
    )  # fmt: skip
    answer = ask(lawn, dt.date(2012, 9, 3))
    assert answer.decision.verdict == "hold"
    assert "root zone" in answer.headline


def test_late_november_is_missed_and_names_the_best_later_season(ohio):
    answer = ask(ohio(thatch("0.8 in"), *GREEN), dt.date(2026, 11, 20))
    assert answer.decision.verdict == "missed"
    first, *_ = answer.decision.later
    assert first.opening.opens.p50.month in (3, 4, 5)
    assert first.says
    assert "at a cost" in answer.headline


def test_tall_fescue_rarely_builds_thatch_so_measure_again(ohio):
    answer = ask(ohio(thatch("0.8 in"), *GREEN, grass="tall_fescue"))
    assert answer.decision.verdict == "measure"
    assert "rarely builds thatch" in said(answer)
    assert "measure again" in said(answer)


@pytest.mark.parametrize(
    ("place", "on", "verdict"),
    [
        ("northern_ohio", SEPTEMBER, "do"),
        ("coastal_virginia", SEPTEMBER, "wait"),
        ("southern_minnesota", SEPTEMBER, "do"),
        ("southern_minnesota", dt.date(2026, 9, 25), "missed"),
        ("north_west_minnesota", SEPTEMBER, "missed"),
        ("norfolk_uk", dt.date(2021, 9, 5), "do"),
        ("norfolk_uk", dt.date(2021, 9, 25), "missed"),
        ("christchurch", dt.date(2026, 3, 5), "do"),
    ],
)
def test_the_same_lawn_elsewhere(make_lawn, place, on, verdict):
    day = (on - dt.timedelta(days=1)).isoformat()
    records = (
        (day, "observation", "thatch_depth", "0.9 in"),
        (day, "observation", "turf_state", "growing"),
        (day, "observation", "soil_feel", "moist"),
    )
    answer = ask(make_lawn(place, "kentucky_bluegrass", records), on)
    assert answer.decision.verdict == verdict, answer.headline


def test_march_in_christchurch_mirrors_september(make_lawn):
    """The same months of the season year: the window opens in late summer, not in March as such."""
    records = (("2026-03-04", "observation", "thatch_depth", "0.9 in"),)
    answer = ask(make_lawn("christchurch", "kentucky_bluegrass", records), dt.date(2026, 3, 5))
    opening = answer.window
    assert opening.opens.p50.month in (1, 2, 3)
    assert opening.closes.p50.month in (3, 4)


def test_two_grasses_on_one_day_get_two_answers_with_source(make_lawn):
    """Minnesota (Turfgrass Science, August 2023): bluegrass to 15 Sep, tall fescue by Labor Day."""
    on = dt.date(2026, 9, 8)
    records = (("2026-09-07", "wish", "overseeding", "yes"),
               ("2026-09-07", "observation", "weed_preventer", "none"),
               ("2026-09-07", "observation", "good_turf_share", "70 %"),
               ("2026-09-07", "observation", "soil_feel", "moist"))  # fmt: skip
    found = {}
    for grass in ("kentucky_bluegrass", "tall_fescue"):
        lawn = make_lawn("southern_minnesota", grass, records)
        found[grass] = consult(replace(lawn, on=on), "is it too late to overseed").answers[0]
    assert found["kentucky_bluegrass"].decision.verdict == "do"
    assert found["tall_fescue"].decision.verdict == "missed"
    closing = [r for r in found["tall_fescue"].reasons if r.gate == "window" and r.part == "closes"]
    assert any("Minnesota" in str(e) for r in closing for e in r.evidence)


def test_an_unknown_age_of_the_lawn_does_not_hide_what_to_look_at(make_lawn):
    """A caution with unknown facts neither stops the work nor counts as the thing to measure."""
    lawn = make_lawn("northern_ohio", "kentucky_bluegrass", (thatch("0.9 in"),))
    lawn = replace(lawn, site=records.replace(lawn.site, sown_on=None))
    answer = ask(lawn)
    assert answer.decision.verdict == "measure"
    assert {m.fact for m in answer.measure} >= {"turf_state", "soil_feel"}
    assert not any("age of the lawn" in r.says for r in answer.told)
