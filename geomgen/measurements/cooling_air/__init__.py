"""Mouths, exit and passages of the cooling air, and its whole way."""
