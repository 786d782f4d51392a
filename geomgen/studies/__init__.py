"""Studies over many variants of one aircraft, as plain numbers and tables."""
