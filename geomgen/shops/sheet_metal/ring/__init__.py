"""The flange as a ring of its own: segments that are riveted to a flat sheet."""
