"""A fitted session as time, in milliseconds."""
