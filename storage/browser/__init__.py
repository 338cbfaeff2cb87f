"""The store in the browser's own database."""
