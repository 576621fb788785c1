"""Signals: numbers computed from weather and place. Pure functions on numpy arrays.

Shapes: float64, last axis = consecutive days, any leading axes (members, seasons). NaN is unknown
and stays unknown; where a function can still bound or recover from a gap its docstring says how.
Units are in the names: `_c` °C, `_mm` mm of water, `_mj` MJ/m² a day, `_kpa` kPa, `_deg` degrees.
"""
