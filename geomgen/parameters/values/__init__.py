"""The types of the values in a parameter file."""
