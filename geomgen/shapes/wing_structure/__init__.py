"""The structure inside wing, tailplane and fins: spars and ribs. Geometry, nothing of strength."""
