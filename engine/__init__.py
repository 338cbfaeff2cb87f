"""The trade in code, pure: the same input gives the same output; no clock, files, randomness or interface."""
