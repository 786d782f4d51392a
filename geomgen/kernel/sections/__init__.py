"""Where planes cut bodies: exact outlines, the slit between two, a profile, an axis."""
