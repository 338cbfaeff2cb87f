"""What leaves the device and comes back: backup, merge, the coach's page, exports."""
