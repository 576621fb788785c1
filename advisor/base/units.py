"""Quantities as a keeper writes them ("0.8 in", "20 mm", "60 F") and as they are shown again.

Inside the program every quantity is a plain float in its dimension's canonical unit, the first one
listed in `DIMENSIONS`. Conversions: exact definitions of NIST SP 811 (2008), appendix B.
Quantities are kept with nine decimals, so that `1 min` is not quite a sixtieth of an hour; what is
over or under a whole number of minutes, bags or loads only by that is that number.
"""

from __future__ import annotations

import math
import re
from typing import Literal

from advisor.base.problems import did_you_mean
from advisor.base.record import Record

System = Literal["us", "metric"]


class UnitError(ValueError):
    """Text that is no quantity, or has the wrong unit."""


class Unit(Record, frozen=True):
    """canonical = factor * value + offset."""

    name: str
    factor: float
    offset: float = 0.0


_POUND_G = 453.59237
_FT2_M2 = 0.09290304
_LB_1000FT2 = _POUND_G / (1000 * _FT2_M2)

DIMENSIONS: dict[str, tuple[Unit, ...]] = {
    "temperature": (Unit("°C", 1.0), Unit("°F", 5 / 9, -160 / 9)),
    "temperature difference": (Unit("Δ°C", 1.0), Unit("Δ°F", 5 / 9)),
    "depth": (Unit("mm", 1.0), Unit("cm", 10.0), Unit("in", 25.4)),
    "length": (Unit("m", 1.0), Unit("ft", 0.3048), Unit("km", 1000.0), Unit("yd", 0.9144)),
    "area": (Unit("m2", 1.0), Unit("ft2", _FT2_M2), Unit("ac", 4046.8564224), Unit("ha", 1e4)),
    "mass per area": (
        Unit("g/m2", 1.0),
        Unit("lb/1000ft2", _LB_1000FT2),
        Unit("kg/ha", 0.1),
        Unit("lb/ac", _POUND_G / 4046.8564224),
    ),
    "mass": (Unit("kg", 1.0), Unit("g", 1e-3), Unit("lb", _POUND_G / 1000), Unit("t", 1000.0)),
    "share": (Unit("share", 1.0), Unit("%", 0.01)),
    "depth rate": (Unit("mm/h", 1.0), Unit("in/h", 25.4)),
    "days": (Unit("d", 1.0), Unit("wk", 7.0)),
    "hours": (Unit("h", 1.0), Unit("min", 1 / 60)),
    "heat sum": (Unit("°C·d", 1.0), Unit("°F·d", 5 / 9)),
    "hole density": (Unit("/m2", 1.0), Unit("/ft2", 1 / _FT2_M2)),
    "pressure": (Unit("kPa", 1.0), Unit("psi", 6.894757)),
    "plain number": (Unit("", 1.0),),
    "money": (Unit("money", 1.0),),
    "wind": (Unit("m/s", 1.0), Unit("km/h", 1 / 3.6), Unit("mph", 0.44704)),
    "radiation": (Unit("MJ/m2", 1.0), Unit("W/m2", 0.0864), Unit("langley", 0.041868)),
    "volume": (
        Unit("L", 1.0),
        Unit("gal", 3.785411784),
        Unit("m3", 1000.0),
        Unit("ft3", 28.316846592),
        Unit("yd3", 764.554857984),
    ),
}

_SPELLINGS = {
    "c": "°C", "f": "°F", "degc": "°C", "degf": "°F", "celsius": "°C", "fahrenheit": "°F",
    "°c": "°C", "°f": "°F", "deg c": "°C", "deg f": "°F", "° c": "°C", "° f": "°F",
    "inch": "in", "inches": "in", "\"": "in", "″": "in", "foot": "ft", "feet": "ft", "'": "ft",
    "metre": "m", "metres": "m", "meter": "m", "meters": "m",
    "sq ft": "ft2", "sqft": "ft2", "ft²": "ft2", "square feet": "ft2", "sq. ft": "ft2",
    "sq m": "m2", "m²": "m2", "sqm": "m2", "square metres": "m2", "square meters": "m2",
    "acre": "ac", "acres": "ac", "hectare": "ha", "hectares": "ha",
    "g/m²": "g/m2", "lb/1000 ft2": "lb/1000ft2", "lb/1000 ft²": "lb/1000ft2",
    "lb/1000ft²": "lb/1000ft2", "lb/1000 sq ft": "lb/1000ft2", "lb per 1000 ft2": "lb/1000ft2",
    "lb per 1000 sq ft": "lb/1000ft2", "lbs": "lb", "pounds": "lb", "pound": "lb",
    "percent": "%", "per cent": "%", "day": "d", "days": "d", "week": "wk", "weeks": "wk",
    "hour": "h", "hours": "h", "hr": "h", "hrs": "h", "minute": "min", "minutes": "min",
    "mins": "min", "in/hr": "in/h", "inches/hour": "in/h", "mm/hr": "mm/h", "c·d": "°C·d",
    "c.d": "°C·d", "f.d": "°F·d",
    "f·d": "°F·d", "°c d": "°C·d", "°f d": "°F·d", "°c·d": "°C·d", "°f·d": "°F·d",
    "/ft²": "/ft2", "per ft2": "/ft2", "per m2": "/m2", "/m²": "/m2", "mj/m2": "MJ/m2",
    "mj/m²": "MJ/m2", "w/m2": "W/m2", "w/m²": "W/m2", "l": "L", "litre": "L", "litres": "L",
    "liter": "L", "liters": "L", "gallon": "gal", "gallons": "gal", "m³": "m3", "kpa": "kPa",
    "ft³": "ft3", "cu ft": "ft3", "cubic feet": "ft3", "cubic foot": "ft3", "yd³": "yd3",
    "cu yd": "yd3", "cubic yard": "yd3", "cubic yards": "yd3",
    "ly": "langley", "miles/h": "mph",
}  # fmt: skip

_UNITS: dict[str, tuple[str, Unit]] = {
    unit.name: (dimension, unit) for dimension, units in DIMENSIONS.items() for unit in units
}
_BY_LOWER = {
    (dimension, unit.name.lower()): unit.name
    for dimension, units in DIMENSIONS.items()
    for unit in units
}
# A comma only between groups of three digits: "3,000 ft2" but never "0,8 in".
_NUMBER = re.compile(
    r"\s*(?P<sign>[-+−]?)"
    r"(?:(?:(?P<whole>[0-9]+)[ -]+)?(?P<over>[0-9]+)/(?P<under>[0-9]+)"
    r"|(?P<grouped>[1-9][0-9]{0,2}(?:,[0-9]{3})+(?:\.[0-9]*)?)(?![0-9,])"
    r"|(?P<plain>[0-9]+\.?[0-9]*|\.[0-9]+))"
    r"\s*(?P<unit>.*?)\s*\Z",
    re.DOTALL,
)
_MIXED_UP = re.compile(r"[-–,.]?\s*[0-9]|[eE][-+]?[0-9]")
_LONGEST = 80
_FRACTIONS = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}

_US = {
    "°C": ("°F", 0), "Δ°C": ("Δ°F", 0), "mm": ("in", 2), "m": ("ft", 0), "m2": ("ft2", 0),
    "g/m2": ("lb/1000ft2", 1), "kg": ("lb", 1), "share": ("%", 0), "mm/h": ("in/h", 2),
    "°C·d": ("°F·d", 0), "/m2": ("/ft2", 0), "kPa": ("psi", 0), "L": ("gal", 0), "m/s": ("mph", 0),
}  # fmt: skip
_METRIC = {
    "°C": ("°C", 0), "Δ°C": ("Δ°C", 1), "mm": ("mm", 0), "m": ("m", 0), "m2": ("m2", 0),
    "g/m2": ("g/m2", 1), "kg": ("kg", 1), "share": ("%", 0), "mm/h": ("mm/h", 0),
    "°C·d": ("°C·d", 0), "/m2": ("/m2", 0), "kPa": ("kPa", 0), "L": ("L", 0), "m/s": ("km/h", 0),
}  # fmt: skip
_SHOWN_AS = {"°F·d": "degree-days (F)", "°C·d": "degree-days (C)", "Δ°C": "°C", "Δ°F": "°F",
             "m2": "m²", "ft2": "ft²", "g/m2": "g/m²",
             "lb/1000ft2": "lb/1000 ft²", "/ft2": "per ft²", "/m2": "per m²"}  # fmt: skip


def canonical_units() -> frozenset[str]:
    """The canonical unit names that a fact may declare."""
    return frozenset(units[0].name for units in DIMENSIONS.values())


def parse_quantity(text: str | int | float, unit: str) -> float:
    """Read a quantity and return it in the canonical `unit`.

    A bare number is accepted only where the canonical unit is a plain number.
    Raises `UnitError` with a sentence that says what was found and what is wanted.
    """
    dimension, _ = _UNITS[unit]
    wanted = " or ".join(f"'{u.name}'" for u in DIMENSIONS[dimension] if u.name) or "no unit"
    number, given = _split(text, dimension)
    if not given:
        if unit in ("", "money"):
            return number
        raise UnitError(f"'{text}' has no unit; write it with {wanted}, such as '{_example(unit)}'")
    name = _SPELLINGS.get(given.lower()) or _BY_LOWER.get((dimension, given.lower()), given)
    if dimension == "temperature difference" and name in ("°C", "°F"):
        name = f"Δ{name}"
    found = _UNITS.get(name)
    if found is None:
        near = did_you_mean(given, [u.name for u in DIMENSIONS[dimension]])
        raise UnitError(f"'{given}' is no known unit; wanted {dimension} in {wanted}{near}")
    if found[0] != dimension:
        raise UnitError(f"'{text}' is {_a(found[0])}; wanted {dimension} in {wanted}")
    return round(found[1].factor * number + found[1].offset, 9)


def convert(value: float, unit: str, to: str) -> float:
    """Convert a value from its canonical `unit` to another unit of the same dimension."""
    target = _UNITS[to][1]
    if _UNITS[unit][0] != _UNITS[to][0]:
        raise UnitError(f"cannot convert {unit} to {to}")
    return (value - target.offset) / target.factor


def show(value: float, unit: str, system: System = "us") -> str:
    """A canonical value in the keeper's units, rounded as a person would say it."""
    name, digits = (_US if system == "us" else _METRIC).get(unit, (unit, 1 if unit else 2))
    if unit == "m/s" and system == "metric":
        name = "km/h"
    number = convert(value, unit, name)
    text = f"{number:,.{digits}f}"
    if digits and "." in text:
        text = text.rstrip("0").rstrip(".")
    text = text.removeprefix("-") if float(text.replace(",", "")) == 0 else text
    label = _SHOWN_AS.get(name, name)
    if name == "d":
        return f"{text} day" if text == "1" else f"{text} days"
    if not label or label == "share":
        return text
    return f"{text} {label}"


def _split(text: str | int | float, dimension: str) -> tuple[float, str]:
    if isinstance(text, (int, float)) and not isinstance(text, bool):
        if not math.isfinite(text):
            raise UnitError(f"'{text}' is no number")
        return float(text), ""
    plain = str(text).replace("º", "°").replace("˚", "°")
    for sign, fraction in _FRACTIONS.items():
        plain = plain.replace(sign, f" {fraction}")
    match = _NUMBER.match(plain) if len(plain) <= _LONGEST else None
    if not match:
        raise UnitError(
            f"'{str(text)[:_LONGEST]}' is not {_a(dimension)}; write a number and its unit"
        )
    if _MIXED_UP.match(match["unit"]):
        raise UnitError(
            f"'{text}' is not one number; write decimals with a point, such as '0.8 in', "
            "or as a fraction, such as '1 1/2 in'"
        )
    number = _magnitude(match)
    return -number if match["sign"] in ("-", "−") else number, match["unit"]


def _magnitude(match: re.Match[str]) -> float:
    if not match["over"]:
        return float((match["grouped"] or match["plain"]).replace(",", ""))
    if not int(match["under"]):
        raise UnitError(f"'{match[0].strip()}' divides by zero")
    return int(match["whole"] or 0) + int(match["over"]) / int(match["under"])


def _example(unit: str) -> str:
    return {
        "°C": "60 F",
        "mm": "0.8 in",
        "m2": "3000 ft2",
        "g/m2": "3 lb/1000ft2",
        "share": "80 %",
        "m": "1050 ft",
    }.get(unit, f"1 {DIMENSIONS[_UNITS[unit][0]][-1].name}")


def _a(noun: str) -> str:
    whole = {
        "days": "a number of days",
        "hours": "a number of hours",
        "money": "an amount of money",
    }
    return whole.get(noun) or (f"an {noun}" if noun[0] in "aeiou" else f"a {noun}")


_LEAST, _SHARE = 1e-6, 5e-8
"""What rounding to nine decimals comes to at most: a share of a number, or the least."""


def whole_up(value: float) -> int:
    """Rounded up: 2.00000002 fives of minutes are two."""
    return math.ceil(value - _sliver(value))


def whole_down(value: float) -> int:
    """Rounded down: 9.99999998 minutes are ten."""
    return math.floor(value + _sliver(value))


def _sliver(value: float) -> float:
    return max(_LEAST, _SHARE * abs(value))
