"""The best session for these minutes, with the reasons."""
