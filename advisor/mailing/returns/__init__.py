"""What comes back: bounces, complaints and wishes to leave."""
