"""What a person does around a session: kit, cues, settings, plans, backup."""
