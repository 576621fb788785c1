"""Weather that favours two leaf diseases of turf: published models of temperature and humidity.

Both were made to time fungicides on golf and sports turf cut low, from weather stations beside it.
They know nothing of a lawn's mowing height, feeding, shade or watering, and say when to look, not
that a disease is there. Without humidity they say nothing (NaN).
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from advisor.signals.running import FloatArray, trailing_mean

DOLLAR_SPOT_DAYS = 5
"""Both weather terms are means of so many days (Smith et al. 2018)."""
DOLLAR_SPOT_RANGE_C = (10.0, 35.0)
"""The model is run between these mean temperatures only; the fungus rests outside them."""


def dollar_spot_probability(
    mean_air_c: npt.ArrayLike, mean_humidity_pct: npt.ArrayLike
) -> FloatArray:
    """Probability, 0 to 1, that dollar spot is active; daily °C and %, (..., days), NaN unknown.

    L = -11.4041 + 0.0894 RH + 0.1932 T, p = exp(L) / (1 + exp(L)), with RH and T the means of five
    days; 0 where T lies outside 10 to 35 °C. From 20 % on the authors' plots were treated. D. L.
    Smith, J. P. Kerns and others 2018, PLoS ONE 13(3):e0194216: the five-day means and the 20 % are
    in its abstract; the coefficients and the range were read only where others restate them.
    ValueError for a humidity outside 0 to 100 %.
    """
    humidity = trailing_mean(_percent(mean_humidity_pct), DOLLAR_SPOT_DAYS)
    air = trailing_mean(mean_air_c, DOLLAR_SPOT_DAYS)
    logit = -11.4041 + 0.0894 * humidity + 0.1932 * air
    low, high = DOLLAR_SPOT_RANGE_C
    rests = (air < low) | (air > high)
    probability = np.where(rests, 0.0, 1.0 / (1.0 + np.exp(-logit)))
    return np.where(np.isnan(humidity), np.nan, probability)


def brown_patch_index(air_min_c: npt.ArrayLike, mean_humidity_pct: npt.ArrayLike) -> FloatArray:
    """Index E of how well a day suits brown patch; daily °C and %, (..., days), NaN unknown.

    E = -21.5 + 0.15 RH + 1.4 T - 0.033 T^2, with RH the day's mean and T its lowest temperature.
    E of 6 or more is a warning: M. A. Fidanza, P. H. Dernoeden and A. P. Grybauskas 1996,
    Phytopathology 86:385-390 (abstract), made on perennial ryegrass. P. Vincelli, University of
    Kentucky, found 5 better. ValueError for a humidity outside 0 to 100 %.
    """
    humidity = _percent(mean_humidity_pct)
    low = np.asarray(air_min_c, dtype=np.float64)
    index: FloatArray = -21.5 + 0.15 * humidity + 1.4 * low - 0.033 * low**2
    return index


def _percent(humidity: npt.ArrayLike) -> FloatArray:
    values = np.asarray(humidity, dtype=np.float64)
    if np.any((values < 0.0) | (values > 100.0)):
        raise ValueError("relative humidity must lie between 0 and 100 %")
    return values
