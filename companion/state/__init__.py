"""What the application knows at one moment."""
