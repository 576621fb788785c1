"""Quantities: conversions against NIST SP 811 (2008), appendix B, and the forms keepers write."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.base.units import (
    DIMENSIONS,
    UnitError,
    canonical_units,
    convert,
    parse_quantity,
    show,
)

# (text, canonical unit, value): factors as printed in NIST SP 811, section B.8, to its digits.
NIST = [
    ("1 in", "mm", 25.4),
    ("1 ft", "m", 0.3048),
    ("1 yd", "m", 0.9144),
    ("1 ft2", "m2", 9.290304e-2),
    ("1 ha", "m2", 1e4),
    ("1 lb", "kg", 0.45359237),
    ("1 gal", "L", 3.785412),
    ("1 mph", "m/s", 0.44704),
    ("1 km/h", "m/s", 0.2777778),
    ("1 psi", "kPa", 6.894757),
    ("1 langley", "MJ/m2", 4.184e-2),
    ("32 F", "°C", 0.0),
    ("212 F", "°C", 100.0),
    ("-40 F", "°C", -40.0),
    ("1 wk", "d", 7),
    ("90 min", "h", 1.5),
    # SP 811: 1 lb/ft2 = 4.882428 kg/m2, so 1 lb on 1,000 ft2 is 4.882428 g/m2.
    ("1 lb/1000ft2", "g/m2", 4.882428),
]


@pytest.mark.parametrize(("text", "unit", "wanted"), NIST)
def test_conversion_as_published(text: str, unit: str, wanted: float) -> None:
    assert parse_quantity(text, unit) == pytest.approx(wanted, rel=2e-3 if "ley" in text else 1e-6)


def test_acre_is_43560_square_feet() -> None:
    # NIST Handbook 44, appendix C: 1 acre = 43,560 ft2.
    assert parse_quantity("1 acre", "m2") == pytest.approx(parse_quantity("43,560 ft2", "m2"))
    per_acre = parse_quantity("43.56 lb/ac", "g/m2")
    assert per_acre == pytest.approx(parse_quantity("1 lb/1000ft2", "g/m2"))


@pytest.mark.parametrize(
    ("text", "unit", "wanted"),
    [
        ("0.8in", "mm", 20.32),
        ("½ in", "mm", 12.7),
        ("1½ in", "mm", 38.1),
        ("1 ½ in", "mm", 38.1),
        ("1/2 in", "mm", 12.7),
        ("1 1/2 in", "mm", 38.1),
        ("1-1/2 in", "mm", 38.1),
        (".5 in", "mm", 12.7),
        ("3,000 m2", "m2", 3000),
        ("12,345.5 m2", "m2", 12345.5),
        ("20 MM", "mm", 20),
        ("3 square feet", "m2", 0.27870912),
        ("−5 °C", "°C", -5),
        ("60 ºF", "°C", 140 / 9),
        ("60degF", "°C", 140 / 9),
        ("5 F", "Δ°C", 25 / 9),
        ("80 %", "share", 0.8),
        ("6.5", "", 6.5),
        (80, "money", 80),
    ],
)
def test_as_keepers_write(text: str | int, unit: str, wanted: float) -> None:
    assert parse_quantity(text, unit) == pytest.approx(wanted)


@pytest.mark.parametrize(
    ("text", "unit", "said"),
    [
        ("0.8", "mm", "has no unit; write it with 'mm' or 'cm' or 'in', such as '0.8 in'"),
        ("60 F", "mm", "'60 F' is a temperature; wanted depth in 'mm' or 'cm' or 'in'"),
        ("5 h", "d", "'5 h' is a number of hours; wanted days"),
        ("3 m2", "mm", "'3 m2' is an area; wanted depth"),
        ("0.8 inn", "mm", "'inn' is no known unit; wanted depth"),
        ("3 fy2", "m2", "did you mean 'ft2'?"),
        ("0,8 in", "mm", "'0,8 in' is not one number"),
        ("3,00 in", "mm", "'3,00 in' is not one number"),
        ("1.2.3 in", "mm", "'1.2.3 in' is not one number"),
        ("1 2 in", "mm", "'1 2 in' is not one number"),
        ("2-3 in", "mm", "'2-3 in' is not one number"),
        ("1e3 mm", "mm", "'1e3 mm' is not one number"),
        ("1/0 in", "mm", "'1/0 in' divides by zero"),
        ("deep", "mm", "'deep' is not a depth"),
        ("", "m2", "'' is not an area"),
        (True, "mm", "'True' is not a depth"),
        (float("nan"), "", "'nan' is no number"),
        ("9" * 400 + " mm", "mm", "is not a depth"),
    ],
)
def test_refusals_say_what_is_wanted(text: str, unit: str, said: str) -> None:
    with pytest.raises(UnitError) as caught:
        parse_quantity(text, unit)
    assert said in str(caught.value)


@given(st.text(max_size=30), st.sampled_from(sorted(canonical_units())))
def test_any_text_is_a_number_or_refused(text: str, unit: str) -> None:
    try:
        value = parse_quantity(text, unit)
    except UnitError:
        return
    assert abs(value) < float("inf")


@given(
    st.sampled_from([(d, u.name) for d, units in DIMENSIONS.items() for u in units if u.name]),
    st.floats(-1e4, 1e4).map(lambda x: round(x, 3)),
)
def test_conversion_there_and_back(unit: tuple[str, str], value: float) -> None:
    dimension, name = unit
    canonical = DIMENSIONS[dimension][0].name
    written = parse_quantity(f"{value:.3f} {name.replace('Δ', '')}", canonical)
    assert convert(written, canonical, name) == pytest.approx(value, abs=1e-4)


def test_no_conversion_between_dimensions() -> None:
    with pytest.raises(UnitError, match="cannot convert mm to m2"):
        convert(1.0, "mm", "m2")


@pytest.mark.parametrize(
    ("value", "unit", "us", "metric"),
    [
        (12.7, "mm", "0.5 in", "13 mm"),
        (15.5556, "°C", "60 °F", "16 °C"),
        (-0.3, "°C", "31 °F", "0 °C"),
        (278.70912, "m2", "3,000 ft²", "279 m²"),
        (4.882428, "g/m2", "1 lb/1000 ft²", "4.9 g/m²"),
        (0.8, "share", "80 %", "80 %"),
        (1.0, "d", "1 day", "1 day"),
        (3.0, "d", "3 days", "3 days"),
        (6.5, "", "6.5", "6.5"),
        (10.0, "m/s", "22 mph", "36 km/h"),
        (5.0, "Δ°C", "9 °F", "5 °C"),
    ],
)
def test_shown_as_a_person_would_say(value: float, unit: str, us: str, metric: str) -> None:
    assert show(value, unit, "us") == us
    assert show(value, unit, "metric") == metric
