"""Commands: parse, call, print. No logic."""
