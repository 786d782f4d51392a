"""Potential flow about bodies and wings: panels of sources and doublets, wakes, a disc."""
