"""The session while it runs: events, reducer, cues, re-fit, swaps."""
