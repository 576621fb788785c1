"""The rule book as pages that people read."""
