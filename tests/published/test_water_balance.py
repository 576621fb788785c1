"""Root-zone water balance against FAO-56's algebra, its tables and the pyfao56 model."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
from pyfao56 import Model, Parameters, Weather
from pyfao56.tools import FAO56Tables

from advisor.signals.water_balance import (
    AVAILABLE_WATER_MM_PER_M,
    TURF_DEPLETION_SHARE,
    TURF_KC,
    adjusted_depletion_share,
    stress_coefficient,
    total_available_water,
    water_balance,
)


@pytest.mark.parametrize(("season", "warmth"), [("cool season", "cool"), ("warm season", "warm")])
def test_turf_rows_of_fao_56(season: str, warmth: str) -> None:
    """Tables 12 and 22 as pyfao56 1.4 (USDA-ARS, public domain) carries them."""
    tables = FAO56Tables()
    kc, p = tables.table12, tables.table22
    name = f"turfgrass {season}"
    row = kc[kc.iloc[:, 0].str.strip() == name].iloc[0]
    assert tuple(float(x) for x in row.iloc[1:4]) == TURF_KC[warmth]
    row = p[p.iloc[:, 0].str.strip() == name].iloc[0]
    assert float(row.iloc[3]) == TURF_DEPLETION_SHARE[warmth]


def test_available_water_table() -> None:
    """University of California, Soil Characteristics: loam 1.5-2.3 in/ft (125-192 mm/m)."""
    low, high = AVAILABLE_WATER_MM_PER_M["loam"]
    assert round(low) == 125
    assert round(high) == 192
    # 8 in of roots (University of Nebraska G1946) in loam: 8/12 of a foot.
    taw = total_available_water("loam", 203.2)
    assert taw[0] == pytest.approx(1.5 * 8 / 12 * 25.4)
    assert taw[2] == pytest.approx(2.3 * 8 / 12 * 25.4)
    with pytest.raises(ValueError, match="no available water for soil texture 'loan'"):
        total_available_water("loan", 200.0)
    with pytest.raises(ValueError, match="above 0"):
        total_available_water("loam", 0.0)


def test_stress_coefficient_algebra() -> None:
    """FAO-56 eqs 82-84: TAW 160, p 0.4: no stress to RAW 64, half-way at 112, none left at 160."""
    np.testing.assert_allclose(
        stress_coefficient([0.0, 64.0, 112.0, 160.0], 160.0, 0.4), [1, 1, 0.5, 0]
    )


def test_share_by_demand() -> None:
    """FAO-56 Table 22, note: 0.4 at 5 mm/d, 0.48 at 3 mm/d, held to 0.1..0.8."""
    np.testing.assert_allclose(adjusted_depletion_share(0.4, [5.0, 3.0, 20.0]), [0.4, 0.48, 0.1])


@pytest.mark.parametrize("constant_share", [True, False])
def test_agrees_with_pyfao56(constant_share: bool) -> None:
    """Depletion and actual ET over 150 days of showers and drought, day by day.

    pyfao56's dual coefficient is reduced to one: a layer of no depth evaporates nothing.
    """
    days = 150
    random = np.random.default_rng(2)
    rain = np.where(random.random(days) < 0.2, random.exponential(9.0, days), 0.0).round(2)
    rain[60:110] = 0.0
    reference = random.uniform(2.0, 8.0, days).round(2)
    par = Parameters(
        Kcbini=0.9,
        Kcbmid=0.9 + 1e-12,
        Kcbend=0.9,
        Lini=50,
        Ldev=50,
        Lmid=50,
        Lend=50,
        hini=0.1,
        hmax=0.1,
        thetaFC=0.30,
        thetaWP=0.14,
        theta0=0.25,
        Zrini=0.2,
        Zrmax=0.2,
        pbase=0.4,
        Ze=1e-9,
        REW=-1.0,
    )
    weather = Weather()
    weather.z, weather.lat, weather.wndht = 100.0, 40.0, 2.0
    index = [f"2021-{d:03d}" for d in range(100, 100 + days)]
    columns = dict.fromkeys(weather.cnames, float("nan"))
    table = pd.DataFrame({**columns, "Rain": rain, "ETref": reference}, index=index)
    weather.wdata = table.assign(Wndsp=2.0, RHmin=45.0, MorP="M", Tmax=25.0, Tmin=12.0)
    model = Model(index[0], index[-1], par, weather, cons_p=constant_share)
    model.run()
    theirs = model.odata
    taw = (0.30 - 0.14) * 200.0
    assert theirs["E"].astype(float).abs().max() < 1e-5
    ours = water_balance(
        rain,
        reference,
        total_available_mm=taw,
        depletion_share=0.4,
        crop_coefficient=0.9,
        initial_depletion_mm=(0.30 - 0.25) * 200.0,
        adjust_share=not constant_share,
    )
    assert theirs["Ks"].astype(float).min() < 0.3  # the drought does bite
    np.testing.assert_allclose(ours.depletion_mm, theirs["Dr"].astype(float), atol=1e-4)
    np.testing.assert_allclose(ours.actual_et_mm, theirs["ETa"].astype(float), atol=1e-4)
    np.testing.assert_allclose(ours.overflow_mm, theirs["DP"].astype(float), atol=1e-4)
