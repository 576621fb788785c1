"""Free days, and what of the season's work fits into them."""
