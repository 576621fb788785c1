"""Ground floor: problems with a place, strict YAML, units, dates, paths. Imports nothing above."""
