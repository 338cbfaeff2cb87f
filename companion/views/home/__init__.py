"""The screens around a session: kit, cues, settings, plans, backup."""
