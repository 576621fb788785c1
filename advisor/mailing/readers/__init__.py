"""Readers of a list, as their file tells of them, and the weather near them."""
