"""Advice in words, pages, calendars and data."""
