"""The store in a folder on the disk."""
