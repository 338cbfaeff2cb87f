"""What a person does after a session: log, late answers, week, record."""
