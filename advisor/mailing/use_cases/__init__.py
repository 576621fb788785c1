"""What the commands do with a whole list: import, approve, send, show, leave."""
