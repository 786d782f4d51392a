"""Masses from the scales, taken back into the parameter file: what `weigh` does."""
