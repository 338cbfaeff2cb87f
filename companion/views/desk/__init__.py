"""The coach's desk."""
