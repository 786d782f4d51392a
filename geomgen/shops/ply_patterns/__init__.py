"""The ply shop: flat patterns of sheets such as frames, measured on their solids, nested."""
