"""One object for each screen's intentions: engine, then storage, then state."""
