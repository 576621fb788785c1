"""All that follows for one lawn on one day, reckoned once, as plain data."""
