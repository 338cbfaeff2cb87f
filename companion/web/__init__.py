"""The server that opens the application in a browser, for this computer alone."""
