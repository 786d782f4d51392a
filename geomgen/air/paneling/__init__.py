"""Grids of points on the outside of a machine's parts, from cuts of their proven meshes."""
