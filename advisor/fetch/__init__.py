"""Weather from outside: who is asked, how, and how the answers are kept."""
