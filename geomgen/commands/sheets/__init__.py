"""Commands that answer with a sheet and write no set: targets, masses, the air."""
