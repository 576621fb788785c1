"""The pages of a mailing list: the way out, calendars, and what was sent. See docs/mail_web.md."""
