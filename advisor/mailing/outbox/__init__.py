"""Sending: who holds which mail, what the server says, and what was interrupted."""
