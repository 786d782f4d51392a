"""What `handoff` does: the set measured again, and a folder for each shop."""
