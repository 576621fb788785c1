"""Properties of the water balance: nothing is lost, and bounds hold whatever the unknowns were."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra import numpy as hnp

from advisor.signals.running import FloatArray
from advisor.signals.water_balance import AGREED_SHARE, water_balance

DAYS = 40
rain_days = hnp.arrays(float, (3, DAYS), elements=st.one_of(st.just(0.0), st.floats(0.0, 60.0)))
et_days = hnp.arrays(float, (3, DAYS), elements=st.floats(0.0, 9.0))
taws = st.floats(10.0, 120.0)
shares = st.floats(0.1, 0.8)


@settings(max_examples=60)
@given(rain_days, et_days, taws, shares, st.floats(0.0, 1.0), st.floats(0.3, 1.2))
def test_water_is_conserved(
    rain: FloatArray, et: FloatArray, taw: float, share: float, start: float, kc: float
) -> None:
    """rain + irrigation - ET - overflow = - change of the depletion, each day and in all."""
    first = start * taw
    watered = np.where(np.arange(DAYS) % 7 == 3, 8.0, 0.0)
    found = water_balance(
        rain,
        et,
        total_available_mm=taw,
        depletion_share=share,
        crop_coefficient=kc,
        irrigation_mm=watered,
        initial_depletion_mm=first,
    )
    depletion = np.concatenate([np.full((3, 1), first), found.depletion_mm], axis=-1)
    gained = rain + watered - found.actual_et_mm - found.overflow_mm
    np.testing.assert_allclose(np.diff(depletion, axis=-1), -gained, atol=1e-8)
    assert (found.depletion_mm >= -1e-9).all()
    assert (found.depletion_mm <= taw + 1e-9).all()
    assert (found.actual_et_mm <= kc * et + 1e-9).all()
    np.testing.assert_allclose(found.available_share, 1.0 - found.depletion_mm / taw)


@settings(max_examples=60)
@given(rain_days, et_days, st.floats(20.0, 120.0), st.data())
def test_bounds_hold_whatever_the_unknowns_were(
    rain: FloatArray, et: FloatArray, taw: float, data: st.DataObject
) -> None:
    """Hide the start and some days: the true depletion lies between the bounds, and where the
    balance speaks it is right within half of what it calls agreement."""
    hidden = data.draw(hnp.arrays(bool, (2, 3, DAYS), elements=st.booleans()))
    hidden &= np.random.default_rng(0).random((2, 3, DAYS)) < 0.2
    start = data.draw(st.floats(0.0, 1.0)) * taw
    common = {"total_available_mm": taw, "depletion_share": 0.4}
    truth = water_balance(rain, et, initial_depletion_mm=start, **common).depletion_mm
    seen = water_balance(
        np.where(hidden[0], np.nan, rain), np.where(hidden[1], np.nan, et), **common
    )
    assert (seen.lowest_depletion_mm <= truth + 1e-9).all()
    assert (seen.highest_depletion_mm >= truth - 1e-9).all()
    known = ~np.isnan(seen.depletion_mm)
    apart = np.abs(seen.depletion_mm - truth)[known]
    assert (apart <= AGREED_SHARE * taw / 2.0 + 1e-9).all()


def test_an_unknown_start_is_settled_by_a_soaking() -> None:
    rain = np.array([0.0, 0.0, 80.0, 0.0])
    found = water_balance(rain, np.full(4, 4.0), total_available_mm=30.0, depletion_share=0.4)
    assert np.isnan(found.depletion_mm).tolist() == [True, True, False, False]
    assert found.depletion_mm[2:].tolist() == [0.0, 4.0]
    assert np.isnan(found.actual_et_mm).tolist() == [True, True, True, False]


def test_or_by_a_long_drought() -> None:
    found = water_balance(
        np.zeros(90), np.full(90, 6.0), total_available_mm=30.0, depletion_share=0.4
    )
    assert np.isnan(found.available_share[0])
    assert found.available_share[-1] < 0.05


def test_unknown_irrigation_is_not_drought() -> None:
    """An irrigated lawn without a record: never called dry, called wet only after rain."""
    rain = np.zeros(60)
    rain[20] = 50.0
    dry = water_balance(rain, np.full(60, 5.0), total_available_mm=30.0, depletion_share=0.4)
    found = water_balance(
        rain, np.full(60, 5.0), total_available_mm=30.0, depletion_share=0.4, irrigated_unknown=True
    )
    assert dry.available_share[-1] < 0.1
    assert np.isnan(found.available_share[-1])
    assert found.available_share[20] == 1.0
    assert found.lowest_depletion_mm.max() == 0.0
    assert found.highest_depletion_mm[-1] == pytest.approx(dry.highest_depletion_mm[-1])


def test_a_day_cannot_draw_more_than_is_there() -> None:
    """A thin root zone under great demand: it ends empty, and only what was there is used."""
    found = water_balance(
        [0.0, 1.0],
        [9.0, 9.0],
        total_available_mm=5.0,
        depletion_share=0.8,
        initial_depletion_mm=1.0,
    )
    assert found.depletion_mm.tolist() == [5.0, 4.0]
    assert found.actual_et_mm.tolist() == [4.0, 0.0]


def test_members_with_their_own_soils() -> None:
    rain, et = np.zeros((2, 10)), np.full((2, 10), 5.0)
    found = water_balance(
        rain,
        et,
        total_available_mm=[15.0, 60.0],
        depletion_share=0.4,
        initial_depletion_mm=[0.0, 0.0],
    )
    assert found.available_share[0, -1] < found.available_share[1, -1]
    alone = water_balance(
        rain[1], et[1], total_available_mm=60.0, depletion_share=0.4, initial_depletion_mm=0.0
    )
    np.testing.assert_allclose(found.depletion_mm[1], alone.depletion_mm)


@pytest.mark.parametrize(
    ("rain", "et", "taw", "message"),
    [
        (-1.0, 3.0, 30.0, "rain or irrigation"),
        (1.0, -3.0, 30.0, "evapotranspiration"),
        (1.0, 3.0, 0.0, "above 0"),
    ],
)
def test_impossible_input(rain: float, et: float, taw: float, message: str) -> None:
    with pytest.raises(ValueError, match=message):
        water_balance([rain], [et], total_available_mm=taw, depletion_share=0.4)
