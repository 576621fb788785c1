"""The weekly mailing: readers, editions, messages, the outbox and its sender."""
