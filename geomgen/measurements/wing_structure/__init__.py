"""Spars and ribs: how they stand in their skins, and what they come near."""
