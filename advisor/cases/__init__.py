"""A lawn on a day: from a folder, or from a reader of the mailing."""
