"""What the keeper tells us: the site file and the journal."""
