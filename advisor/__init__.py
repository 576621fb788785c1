"""Turf Windows: an adviser for one lawn, from its own records and its own weather."""

__version__ = "0.1.0"
