"""The demo of the mailing: an invented list, sent to a server that keeps everything to itself."""
