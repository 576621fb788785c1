"""What the sky tells us: a daily weather table and the readers that fill it."""
