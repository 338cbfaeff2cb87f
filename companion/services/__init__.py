"""What the application needs from outside, behind Protocols: the clock, the page, the cues."""
