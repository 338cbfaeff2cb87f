"""The application: screens, services and the command line over the engine and the storage."""
