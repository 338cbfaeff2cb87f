"""The command line, which does without Flet and so answers at once."""
