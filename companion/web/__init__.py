"""The server that opens the application on this computer alone."""
