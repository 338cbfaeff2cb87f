"""What goes to the coach and comes back."""
