"""What is whole but for the ninth decimal stays whole; anything more is one more."""

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from advisor.base.units import parse_quantity, whole_down, whole_up


@given(st.integers(1, 600), st.integers(1, 60))
def test_minutes_kept_as_hours_are_still_whole(minutes: int, times: int) -> None:
    kept = 60 * parse_quantity(f"{minutes} min", "h") * times
    assert whole_up(kept) == whole_down(kept) == minutes * times


@given(st.integers(0, 10_000), st.integers(1, 1000))
def test_a_thousandth_is_no_rounding(whole: int, thousandths: int) -> None:
    more = float(Fraction(whole) + Fraction(thousandths, 1001))
    assert whole_up(more) == whole + 1
    assert whole_down(more) == whole
