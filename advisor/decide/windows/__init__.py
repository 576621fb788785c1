"""When each operation may be done: intervals of days, read off every year of the place's record."""
