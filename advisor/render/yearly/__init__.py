"""The year of a lawn: when its seasons come, with what chance, and what its place is like."""
