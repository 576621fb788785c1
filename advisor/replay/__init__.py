"""The rule files run over the past years of a place's record."""
