"""All that follows for one lawn on one day, reckoned once, for every view to say."""
