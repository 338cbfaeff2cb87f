"""The screens before and during a session."""
