"""The text of a parameter file: its lines and keys, how deep it goes; no record."""
