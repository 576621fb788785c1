"""One named value for each fact of one day, with its basis and date."""
