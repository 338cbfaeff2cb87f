"""Small controls that every screen is built from."""
