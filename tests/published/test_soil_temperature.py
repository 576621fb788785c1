"""Soil temperature against measured soil and against filter theory.

The measured part needs a file that is not part of this project: daily rows of 21 stations of the
US Climate Reference Network, 2020 (NOAA, public domain), named by TURF_USCRN_2020; see
docs/validation/soil_temperature.py, which also writes the tables beside it.
"""

from __future__ import annotations

import importlib.util
import os
import sys
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest

from advisor.signals.soil_temperature import (
    COEFFICIENTS,
    SPIN_UP_DAYS,
    offset_from_readings,
    soil_coefficients,
    soil_temperature,
)

SCRIPT = Path(__file__).parents[2] / "docs" / "validation" / "soil_temperature.py"
DATA = os.environ.get("TURF_USCRN_2020")
needs_data = pytest.mark.skipif(
    not DATA, reason="TURF_USCRN_2020 does not name a file of measured soil temperatures"
)


@pytest.fixture(scope="module")
def script() -> ModuleType:
    spec = importlib.util.spec_from_file_location("soil_temperature_validation", SCRIPT)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="module")
def judged(script: ModuleType) -> dict[int, tuple]:
    """Per depth: measured, model with the place left out, reference; and the crossings of both."""
    stations = script.read(Path(str(DATA)))
    out = {}
    for depth in (10, 5):
        model = script.leave_one_place_out(stations, depth)
        reference = script.predict(stations, script.REFERENCE[depth])
        crossings = [script.crossings(stations, m, depth) for m in (model, reference)]
        out[depth] = (stations.soil[depth], model, reference, *crossings)
    return out


@needs_data
def test_error_at_10_cm(script: ModuleType, judged: dict[int, tuple]) -> None:
    """At most 1.8 °C on days with soil above 2 °C, 1.9 °C on all; each place out of its own fit."""
    measured, model, reference, *_ = judged[10]
    every_day, warm, bias = script.rmse(model, measured)
    assert warm <= 1.8
    assert every_day <= 1.9
    assert abs(bias) < 0.3
    assert every_day < script.rmse(reference, measured)[0]


@needs_data
def test_error_at_5_cm(script: ModuleType, judged: dict[int, tuple]) -> None:
    measured, model, reference, *_ = judged[5]
    assert script.rmse(model, measured)[0] <= 1.9
    assert script.rmse(model, measured)[0] < script.rmse(reference, measured)[0]


@needs_data
@pytest.mark.parametrize("depth", [10, 5])
@pytest.mark.parametrize("statistic", ["mean", "median"])
def test_crossings_are_no_worse_than_the_references(
    script: ModuleType, judged: dict[int, tuple], depth: int, statistic: str
) -> None:
    """At none of the five limits is the model worse beyond chance (95 %), and together it is not
    worse at all. Single limits lean either way with 11 to 21 stations; the table shows them."""
    *_, ours, theirs = judged[depth]
    for a, b in zip(ours, theirs, strict=True):
        assert a.missed <= b.missed, a.name
        assert script.difference(a, b, statistic)[0] <= 0.0, a.name
    take = np.mean if statistic == "mean" else np.median
    assert take(script.pooled(ours)) <= take(script.pooled(theirs))


@needs_data
@pytest.mark.parametrize("depth", [10, 5])
def test_coefficients_in_use_are_those_of_the_fit(script: ModuleType, depth: int) -> None:
    stations = script.read(Path(str(DATA)))
    found = script.fit(stations, depth, np.arange(len(stations.ids)))
    used = COEFFICIENTS["humid", depth]
    for name in ("fast_share", "slow_share", "intercept_c", "fast_weight", "slope"):
        assert getattr(used, name) == pytest.approx(getattr(found, name), abs=0.001), name


@needs_data
def test_frozen_sign_at_5_cm(script: ModuleType, judged: dict[int, tuple]) -> None:
    """What frozen_ground's docstring claims: about 6 of 7 frozen days seen, 4 of 7 signs right."""
    measured, model, *_ = judged[5]
    hit, false, unseen, _ = script.frozen_agreement(model, measured)
    assert hit / (hit + unseen) > 0.8
    assert hit / (hit + false) > 0.5


@pytest.mark.parametrize(("climate", "depth"), list(COEFFICIENTS))
def test_yearly_wave_is_damped_and_late_as_filter_theory_has_it(climate: str, depth: int) -> None:
    """A first-order lag y = a x + (1 - a) y' answers exp(i w t) with H = a / (1 - (1 - a) e^-iw)
    (any text on digital filters); the model is a weighted sum of two of them and a line."""
    c = soil_coefficients(depth, climate)
    omega = 2.0 * np.pi / 365.0
    turn = np.exp(-1j * omega)

    def response(share: float) -> complex:
        return complex(share / (1.0 - (1.0 - share) * turn))

    mixed = c.slope * (
        c.fast_weight * response(c.fast_share) + (1.0 - c.fast_weight) * response(c.slow_share)
    )
    days = np.arange(3 * 365)
    air = 15.0 + 10.0 * np.cos(omega * days)
    wanted = c.intercept_c + c.slope * 15.0 + 10.0 * (mixed * np.exp(1j * omega * days)).real
    soil = soil_temperature(air + 6.0, air - 6.0, depth, climate=climate)
    np.testing.assert_allclose(soil[365:], wanted[365:], atol=1e-6)
    late = -np.angle(mixed) / omega
    # Jacobs et al. 2011 (Dutch grass): at 10 cm the wave is 3 days behind the surface and 5 %
    # smaller; behind the air, which warms the surface, it is more.
    assert 3.0 < late < 10.0
    assert 0.9 < abs(mixed) < 1.0


def test_constant_air_gives_air_and_offset() -> None:
    soil = soil_temperature(np.full(90, 25.0), np.full(90, 15.0), 10)
    assert np.isnan(soil[: SPIN_UP_DAYS - 1]).all()
    np.testing.assert_allclose(soil[SPIN_UP_DAYS - 1 :], 20.0 + 1.184)
    warmer = soil_temperature(np.full(90, 25.0), np.full(90, 15.0), 10, offset_c=0.8)
    np.testing.assert_allclose(warmer[-1] - soil[-1], 0.8)


def test_frozen_soil_stays_near_zero() -> None:
    """Measured at these stations: soil seldom under -2 °C with air at -20 °C (USCRN 2020)."""
    soil = soil_temperature(np.full(90, -15.0), np.full(90, -25.0), 10)
    assert -3.0 < soil[-1] < 0.0


def test_readings_are_shrunk_by_their_number() -> None:
    """sum / (n + 1): one reading counts half, three three quarters, none nothing."""
    assert offset_from_readings([2.0]) == 1.0
    assert offset_from_readings([2.0, 2.0, np.nan, 2.0]) == 1.5
    assert offset_from_readings([]) == 0.0


def test_unknown_depth_names_what_there_is() -> None:
    with pytest.raises(ValueError, match=r"arid 5 cm \(there are: humid 10 cm"):
        soil_temperature([1.0], [0.0], 5, climate="arid")
