"""Heat index, how hot a person at rest in the shade feels it to be.

Source: U.S. National Weather Service, Weather Prediction Center, "The Heat Index Equation"
(Rothfusz 1990, SR 90-23, and its adjustments). Full sun can add up to 15 °F (8 °C).
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]


def _full_equation(t: FloatArray, r: FloatArray) -> FloatArray:
    """Rothfusz regression with the service's two adjustments; °F and %."""
    index = (
        -42.379
        + 2.04901523 * t
        + 10.14333127 * r
        - 0.22475541 * t * r
        - 0.00683783 * t**2
        - 0.05481717 * r**2
        + 0.00122874 * t**2 * r
        + 0.00085282 * t * r**2
        - 0.00000199 * t**2 * r**2
    )
    dry = (13.0 - r) / 4.0 * np.sqrt(np.maximum(17.0 - np.abs(t - 95.0), 0.0) / 17.0)
    index = index - np.where((r < 13.0) & (t >= 80.0) & (t <= 112.0), dry, 0.0)
    damp = (r - 85.0) / 10.0 * (87.0 - t) / 5.0
    return index + np.where((r > 85.0) & (t >= 80.0) & (t <= 87.0), damp, 0.0)


def heat_index(air_c: npt.ArrayLike, humidity_pct: npt.ArrayLike) -> FloatArray:
    """Heat index, °C, from air temperature, °C, and relative humidity, %; NaN gives NaN.

    The simple formula averaged with the temperature first; the full regression only where that
    reaches 80 °F, as the service prescribes. Pair a temperature with the humidity of the same hour:
    a day's maximum with its mean humidity overstates.
    """
    t = np.asarray(air_c, dtype=np.float64) * 1.8 + 32.0
    r = np.asarray(humidity_pct, dtype=np.float64)
    simple = 0.5 * (t + 61.0 + (t - 68.0) * 1.2 + 0.094 * r)
    first = (simple + t) / 2.0
    fahrenheit = np.where(first >= 80.0, _full_equation(t, r), first)
    return np.asarray((fahrenheit - 32.0) / 1.8, dtype=np.float64)
