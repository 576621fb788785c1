"""What a season's work takes: seed, feed, lime, topdressing, water, bags, hire and money."""
