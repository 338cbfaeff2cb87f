"""What a coach writes, checks and hands over."""
