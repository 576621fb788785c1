"""Daily mean soil temperature under grass from daily air temperature.

Model: two first-order lags (Newton cooling) of the daily mean air temperature, a straight line over
their mix, and a damping below freezing, where soil water that freezes and the snow above hold the
temperature near 0 °C:

    E_fast(t), E_slow(t) = exponential means of (Tmax + Tmin) / 2
    x  = intercept + slope * (fast_weight * E_fast + (1 - fast_weight) * E_slow)
    Ts = x where x >= 0, else frozen_damping * x

The fast part is the topsoil, the slow one the deeper store of heat. The slope is held to 1, so that
over a year the soil is the air and an offset: a free slope scores alike where it was fitted and
much worse in a region that the fit has not seen. Evidence of every coefficient:
derived; see `COEFFICIENTS` and docs/validation/soil_temperature.md.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from advisor.base.record import Record
from advisor.base.vocabularies import Climate, complete
from advisor.signals.running import FloatArray, exponential_mean

SPIN_UP_DAYS = 30
"""Known days of air temperature needed before the model says anything."""
KNOWN_WEIGHT = 0.9
"""Least share of the filter's weight on known days; one missing day costs that day and the next."""
FROZEN_DAMPING = 0.1
"""Chosen, not fitted: 0 to 0.15 score alike; above 0 so that colder still means colder."""


class SoilCoefficients(Record, frozen=True):
    """One fitted set. `rmse_c` is the error on stations that took no part in the fit."""

    fast_share: float
    slow_share: float
    intercept_c: float
    fast_weight: float
    slope: float
    frozen_damping: float
    rmse_c: float


COEFFICIENTS: dict[tuple[Climate, int], SoilCoefficients] = {
    ("humid", 10): SoilCoefficients(0.50, 0.09, 1.184, 0.389, 1.0, FROZEN_DAMPING, 1.6),
    ("humid", 5): SoilCoefficients(0.60, 0.10, 1.238, 0.400, 1.0, FROZEN_DAMPING, 1.7),
    ("arid", 10): SoilCoefficients(0.18, 0.18, 2.01, 1.0, 0.992, 1.0, 2.3),
}
"""By climate and depth in cm; °C.

humid: derived. 21 stations of the US Climate Reference Network east of 100° W, 2020 (NOAA, public
domain), fitted by docs/validation/soil_temperature.py; error by leaving out one station at a time.
arid: derived. One lag of share 0.18 and the line 2.01 + 0.992 E on all 94 stations of the
conterminous US with soil records in 2020; half of them were in the fit, so 2.3 °C flatters. Not
fitted for 5 cm: no figure is given. Irrigated turf is cooler in summer than these plots.
"""
SHALLOWEST_CM: dict[Climate, int] = complete(
    {climate: min(cm for c, cm in COEFFICIENTS if c == climate) for climate, _ in COEFFICIENTS},
    Climate,
)
"""The fitted depth of each climate that is nearest to the surface, cm."""


def soil_coefficients(depth_cm: int, climate: Climate = "humid") -> SoilCoefficients:
    """The fitted set for a depth and climate; ValueError names what exists."""
    try:
        return COEFFICIENTS[climate, depth_cm]
    except KeyError:
        known = ", ".join(f"{c} {d} cm" for c, d in COEFFICIENTS)
        raise ValueError(
            f"no soil temperature coefficients for {climate} {depth_cm} cm (there are: {known})"
        ) from None


def soil_temperature(
    air_max_c: npt.ArrayLike,
    air_min_c: npt.ArrayLike,
    depth_cm: int = 10,
    *,
    climate: Climate = "humid",
    coefficients: SoilCoefficients | None = None,
    offset_c: float = 0.0,
) -> FloatArray:
    """Daily mean soil temperature, °C, at 10 or 5 cm (4 or 2 in) under grass; (..., days).

    `offset_c` is added above freezing (see `offset_from_readings`). NaN for the first
    SPIN_UP_DAYS - 1 known days, on days without air temperature and for as long after a gap as it
    carries more than a tenth of the filter's weight. ValueError for a depth that was not fitted.
    """
    c = soil_coefficients(depth_cm, climate) if coefficients is None else coefficients
    air = (np.asarray(air_max_c, dtype=np.float64) + np.asarray(air_min_c, dtype=np.float64)) / 2.0
    fast, fast_known = exponential_mean(air, c.fast_share)
    slow, slow_known = exponential_mean(air, c.slow_share)
    mixed = c.fast_weight * fast + (1.0 - c.fast_weight) * slow
    linear = c.intercept_c + c.slope * mixed + offset_c
    soil = np.where(linear >= 0.0, linear, c.frozen_damping * linear)
    known = c.fast_weight * fast_known + (1.0 - c.fast_weight) * slow_known
    days_seen = np.cumsum(~np.isnan(air), axis=-1)
    usable = (known >= KNOWN_WEIGHT) & (days_seen >= SPIN_UP_DAYS) & ~np.isnan(air)
    return np.where(usable, soil, np.nan)


def offset_from_readings(residuals_c: npt.ArrayLike) -> float:
    """A site's offset, °C, from its own thermometer readings: sum(residuals) / (n + 1).

    Residual = reading - model on that day. The n + 1 shrinks few readings toward 0: site offsets
    and single readings scatter about alike (derived: standard deviation 1.3 °C across 94 stations).
    Three readings, 21, 14 and 7 days before, cut the mean error of a crossing date from 4.8 to 2.8
    days in spring and 4.5 to 2.4 in autumn on stations outside the fit. NaN residuals are skipped.
    """
    values = np.asarray(residuals_c, dtype=np.float64)
    values = values[~np.isnan(values)]
    return float(values.sum() / (values.size + 1))
