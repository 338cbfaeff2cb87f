"""Files that survive a crash, whatever they hold."""
