"""What the application needs from outside, behind protocols: the clock, cues, files and the page."""
