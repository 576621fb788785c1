"""A smooth year of daily values whose monthly means are exactly the given ones."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from advisor.weather.table import Values


def daily_curve(monthly_means: Sequence[float], month_lengths: Sequence[int]) -> Values:
    """The smoothest periodic daily curve with the given monthly means.

    monthly_means: one value a month. month_lengths: days of each month. Returns (days,).

    "Smoothest" is the least sum of squared second differences under the constraint that each
    month's days have its mean, the criterion of Boot, Feibes & Lisman (1967, Applied Statistics
    16:65-75) for dividing a total over its parts, here closed over New Year. Lagrange's conditions
    give it: one weight a month and a level. Straight lines between mid-months, the usual way,
    flatten summer and winter; Epstein (1991, J. Climate 4:365-368) and Rymes & Myers (2001, Solar
    Energy 71:225-231) keep the means by harmonics and by repeated smoothing.
    """
    days, months = int(sum(month_lengths)), len(monthly_means)
    of_month = np.repeat(np.arange(months), month_lengths)
    averages = (of_month == np.arange(months)[:, None]) / np.asarray(month_lengths)[:, None]
    # The matrix of squared second differences is circulant, so a Fourier transform inverts it.
    stiffness = (2 * np.cos(2 * np.pi * np.arange(days // 2 + 1) / days) - 2) ** 2
    stiffness[0] = np.inf  # the level, which bends nothing, is the last unknown below
    shapes = np.fft.irfft(np.fft.rfft(averages, axis=1) / stiffness, n=days, axis=1)
    system = np.ones((months + 1, months + 1))
    system[:months, :months] = averages @ shapes.T
    system[months, months] = 0.0
    *weights, level = np.linalg.solve(system, [*monthly_means, 0.0])
    curve: Values = np.asarray(weights) @ shapes + level
    return curve
