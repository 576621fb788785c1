"""From gates to one of seven verdicts."""
