"""What was done, and what it says about next time."""
