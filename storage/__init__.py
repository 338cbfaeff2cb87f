"""What is kept: records, plans and the session in progress, in files that survive a kill."""
