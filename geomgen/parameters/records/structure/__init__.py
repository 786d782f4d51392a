"""Records of what stands inside the skins."""
