"""One window over one set of records."""
