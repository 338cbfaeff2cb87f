"""What people read: the sentences of the engine's messages."""
