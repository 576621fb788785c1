"""The week's digest: plain data, then text."""
