"""What may stand in a mail, who sends it, and the signed tokens in it."""
