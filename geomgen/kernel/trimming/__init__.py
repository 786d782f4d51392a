"""Parts cut and trimmed: exactly, or by meshes for a first answer."""
