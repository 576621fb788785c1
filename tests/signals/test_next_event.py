"""Small arrays that a reader can check by hand."""

import numpy as np

from advisor.signals.running import days_until, starts_run

NAN = np.nan


def test_days_until_the_next_event():
    event = np.array([[0, 0, 1, 0, 0, 0, 0, 0]], dtype=float)
    np.testing.assert_array_equal(days_until(event, 3)[0], [2, 1, 0, 3, 3, 3, NAN, NAN])


def test_an_unknown_day_on_the_way_leaves_it_unknown():
    event = np.array([0, NAN, 0, 1], dtype=float)
    np.testing.assert_array_equal(days_until(event, 9), [NAN, NAN, 1, 0])


def test_members_do_not_touch_each_other():
    event = np.array([[0, 1, 0], [0, 0, 1]], dtype=float)
    np.testing.assert_array_equal(days_until(event, 5)[:, :2], [[1, 0], [2, 1]])


def test_a_run_starts_where_all_its_days_hold():
    holds = np.array([1, 1, 0, 1, 1, 1, 1], dtype=float)
    np.testing.assert_array_equal(starts_run(holds, 3), [0, 0, 0, 1, 1, NAN, NAN])


def test_an_unknown_day_makes_a_run_unknown_unless_it_is_broken_anyway():
    np.testing.assert_array_equal(starts_run([1, NAN, 1], 2), [NAN, NAN, NAN])
    np.testing.assert_array_equal(starts_run([0, NAN, 1, 1], 2), [0, NAN, 1, NAN])
