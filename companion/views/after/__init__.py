"""The screens after a session: log, week, record."""
