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
    16:65-75) for dividing a total over its parts, here closed over New Year. One linear system of
    Lagrange's conditions gives it. Straight lines between mid-months, the usual way, flatten
    summer and winter; Epstein (1991, J. Climate 4:365-368) and Rymes & Myers (2001, Solar Energy
    71:225-231) keep the means by harmonics and by repeated smoothing.
    """
    days, months = int(sum(month_lengths)), len(monthly_means)
    second = (
        -2 * np.eye(days) + np.roll(np.eye(days), 1, axis=1) + np.roll(np.eye(days), -1, axis=1)
    )
    averages = np.zeros((months, days))
    start = 0
    for month, length in enumerate(month_lengths):
        averages[month, start : start + length] = 1 / length
        start += length
    system = np.block([[second.T @ second, averages.T], [averages, np.zeros((months, months))]])
    wanted = np.concatenate([np.zeros(days), np.asarray(monthly_means, dtype=float)])
    curve: Values = np.linalg.solve(system, wanted)[:days]
    return curve
