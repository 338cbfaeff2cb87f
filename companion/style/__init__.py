"""Words, colours and the strip of time, shared by screen, paper and terminal."""
