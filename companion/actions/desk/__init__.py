"""What a coach does at the desk."""
