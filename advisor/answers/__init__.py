"""From a keeper's question to an answer with reasons."""
