"""Drawings to disk in each file format, and the proof of what was written."""
