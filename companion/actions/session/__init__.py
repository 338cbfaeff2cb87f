"""What a person does before and during a session."""
